"""The same as data, a module for each kind of page."""

from sockwright.web.data import (
    bench,
    bench_record,
    deleted,
    enter,
    exchange,
    gauge,
    home,
    kept,
    plan,
    socks,
    trust,
)

DATA_ROUTERS = (
    enter.router,
    home.router,
    plan.router,
    socks.router,
    bench.proofs,
    bench_record.router,
    bench.router,
    exchange.router,
    *kept.ROUTERS,
    deleted.router,
    gauge.router,
    trust.router,
)
