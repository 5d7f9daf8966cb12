"""The page beside the machine: one sock of a pair, step by step."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.bench.page_data import sock_name
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.bench import bench_cylinder_svg
from sockwright.drawing.tracing.figures import FIGURES
from sockwright.web.access.links import devices
from sockwright.web.bench.view import (
    Bench,
    bench_for,
    bench_of,
    log_data,
    log_of,
    plans_for,
    progress,
    progress_words,
    which_of,
)
from sockwright.web.context import AVisit, Visit
from sockwright.web.pairs_kept import Pair, pair
from sockwright.web.printing import file_name

router = APIRouter(prefix="/socks/{id}/bench")


@router.get("")
def choose(visit: AVisit, id: str) -> Response:
    """Which sock of the pair to go on with."""
    shown = pair(visit.shop, id)
    plans = plans_for(visit.shop, id)
    far = {which: progress(visit, id, plan, which) for which, plan in plans.items()}
    following = next((which for which, (done, beats) in far.items() if done < beats), "")
    return visit.page(
        "bench_choose.html",
        pair=shown,
        socks=[
            {
                "which": which,
                "name": sock_name(plan, which),
                "told": progress_words(*far[which]),
                "next": which == following,
            }
            for which, plan in plans.items()
        ],
        devices=devices(visit, id),
        damaged_entries=visit.shop.damaged_entries(id),
    )


@router.get("/{which}")
def one(visit: AVisit, id: str, which: str) -> Response:
    """One sock, from the place its log has come to."""
    shown, which = pair(visit.shop, id), which_of(which)
    return visit.page("bench.html", **bench_context(visit, shown, bench_for(visit.shop, id, which)))


def bench_context(visit: Visit, shown: Pair, bench: Bench) -> dict[str, Any]:
    """What the page of one sock is made of."""
    plan, which = bench.plan, bench.which
    return {
        "pair": shown,
        "sock_name": sock_name(plan, which),
        "bench": bench_of(visit, bench),
        "cylinder": bench_cylinder_svg(plan, Theme.PAGE, visit.tongue),
        "figures": {
            key: draw(visit.tongue.gettext(title), Theme.PAGE)
            for key, (title, draw) in FIGURES.items()
        },
        "log": log_data(log_of(visit.shop, shown.id, which)),
        "log_name": file_name(shown.sock.name, f"{which}-log.json"),
    }
