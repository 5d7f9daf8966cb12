"""The page beside the machine: one sock of a pair, step by step."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.bench.sheet import sock_name
from sockwright.drawing.bench_cylinder import bench_cylinder_svg
from sockwright.drawing.mishap_figures import FIGURES
from sockwright.drawing.theme import Theme
from sockwright.drawing.words import words_in
from sockwright.web.bench_view import WHICH, bench_of, log_data, log_of, plan_for, state_words
from sockwright.web.pairs import pair
from sockwright.web.refusals import NoPage
from sockwright.web.visit import AVisit
from sockwright.words.said import said

router = APIRouter(prefix="/socks/{id}/bench")


@router.get("")
def choose(visit: AVisit, id: str) -> Response:
    """Which sock of the pair to go on with."""
    shown = pair(visit.shop, id)
    plans = {which: plan_for(visit.shop, id, which) for which in WHICH}
    return visit.page(
        "bench_choose.html",
        pair=shown,
        socks=[
            {
                "which": which,
                "name": sock_name(plan, which),
                "told": state_words(visit, id, plan, which),
            }
            for which, plan in plans.items()
        ],
    )


@router.get("/{which}")
def one(visit: AVisit, id: str, which: str) -> Response:
    """One sock, from the place its log has come to."""
    shown = pair(visit.shop, id)
    if which not in WHICH:
        raise NoPage(said("a pair has a first sock and a second one"))
    plan = plan_for(visit.shop, id, which)
    return visit.page(
        "bench.html",
        pair=shown,
        sock_name=sock_name(plan, which),
        bench=bench_of(visit, plan, which),
        cylinder=bench_cylinder_svg(plan, Theme.PAGE, words_in(visit.tongue)),
        figures={
            key: draw(visit.tongue.gettext(title), Theme.PAGE)
            for key, (title, draw) in FIGURES.items()
        },
        log=log_data(log_of(visit.shop, id, which)),
    )
