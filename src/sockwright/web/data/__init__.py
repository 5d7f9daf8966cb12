"""The same as data, a module for each kind of page."""

from sockwright.web.data import bench, deleted, enter, exchange, gauge, home, kept, plan, socks

DATA_ROUTERS = (
    enter.router,
    home.router,
    plan.router,
    socks.router,
    bench.proofs,
    bench.router,
    exchange.router,
    *kept.ROUTERS,
    deleted.router,
    gauge.router,
)
