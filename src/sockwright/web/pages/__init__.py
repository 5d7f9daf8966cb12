"""The pages, a module for each kind."""

from sockwright.web.pages import (
    bench,
    bench_files,
    deleted,
    enter,
    exchange,
    fixed,
    gauge,
    home,
    keeps,
    plan,
    settings,
    sheets,
    sock_deeds,
    sock_files,
    socks,
    trust,
)

PAGE_ROUTERS = (
    enter.router,
    fixed.router,
    home.router,
    plan.router,
    settings.router,
    sheets.router,
    socks.router,
    sock_deeds.router,
    sock_files.router,
    bench_files.router,
    bench.router,
    trust.router,
    exchange.router,
    *keeps.ROUTERS,
    deleted.router,
    gauge.router,
)
