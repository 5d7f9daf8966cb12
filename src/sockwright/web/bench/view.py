"""The page beside the machine: one sock of a pair, step by step.

The way to it on another device is an address, and its QR code.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from html import escape
from typing import Any, Final

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.bench.counting import count_steps_in
from sockwright.bench.follow import Following
from sockwright.bench.log import FIRST, SECOND, WHICH, Entry, state_of
from sockwright.bench.page_data import bench_data, sock_name
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.bench import bench_cylinder_svg
from sockwright.drawing.tracing.figures import FIGURES
from sockwright.i18n.messages import _, sentence
from sockwright.plan.make import SockPlan
from sockwright.plan.short_yarn import short_words
from sockwright.web.access.kept_certificates import base_for_others
from sockwright.web.context import Context, RequestContext
from sockwright.web.errors import NoPage
from sockwright.web.pairs_kept import Pair, pair
from sockwright.web.printing import file_name
from sockwright.workshop.answers import Planned, PlannedSock
from sockwright.workshop.workshop import Workshop

router = APIRouter(prefix="/socks/{id}/bench")

QUIET: Final = 4
"""Light modules round the code (ISO/IEC 18004)."""

COMMAND: Final = "sockwright serve --network"


def which_of(text: str) -> str:
    """One of WHICH; NoPage for anything else in an address."""
    if text not in WHICH:
        raise NoPage(_("a pair has a first sock and a second one"))
    return text


@dataclass(frozen=True)
class Bench:
    """What one sock is counted by: its plan, and what the second follows of the first."""

    which: str
    plan: SockPlan
    following: Following | None = None


def bench_for(shop: Workshop, id: str, which: str) -> Bench:
    """What one sock of a pair is counted by; NoPage where there is no plan that is proven."""
    planned = planned_for(shop, id)
    if which == FIRST:
        return Bench(which, planned.pair.first)
    second = shop.plan_at_bench(id, SECOND, planned)
    if not isinstance(second, PlannedSock) or not second.plan.ok:
        raise _unproven()
    return Bench(which, second.plan, shop.following(id, planned))


def planned_for(shop: Workshop, id: str) -> Planned:
    """The plan of a pair; NoPage where there is none that is proven."""
    outcome = shop.plan_of(id)
    if not isinstance(outcome, Planned):
        raise NoPage(_("there is nothing to count: the order of this pair makes no sock"))
    if not outcome.pair.ok:
        raise _unproven()
    return outcome


def _unproven() -> NoPage:
    return NoPage(_("there is nothing to count: this pair's plan failed its dry run"))


def plans_for(shop: Workshop, id: str) -> dict[str, SockPlan]:
    """The plans of the socks of a pair, without one that is not proven because it follows the
    first; NoPage where the first has none."""
    planned = planned_for(shop, id)
    first, second = planned.pair.first, shop.plan_at_bench(id, SECOND, planned)
    if not isinstance(second, PlannedSock) or not second.plan.ok:
        return {FIRST: first}
    return {FIRST: first, SECOND: second.plan}


def log_of(shop: Workshop, id: str, which: str) -> tuple[Entry, ...]:
    """What was counted of one sock of a pair so far."""
    return shop.bench_log(id, which)


def bench_of(context: RequestContext, bench: Bench) -> dict[str, Any]:
    """The data of one sock of a pair, in the visitor's language and units."""
    return bench_data(context.shown(bench.plan), bench.which, context.locale, bench.following)


def log_data(entries: Iterable[Entry]) -> list[dict[str, Any]]:
    """Entries as data."""
    return [asdict(entry) for entry in entries]


def progress(context: RequestContext, id: str, plan: SockPlan, which: str) -> tuple[int, int]:
    """How many counts of a sock are done, and how many there are."""
    count_steps = count_steps_in(plan)
    return state_of(log_of(context.shop, id, which), count_steps).done, count_steps


def progress_words(done: int, count_steps: int) -> str:
    """How far so many counts of a sock are, in words."""
    if done == 0:
        return _("not begun")
    if done == count_steps:
        return _("off the machine")
    return _("{share} % counted", share=100 * done // count_steps)


def qr_svg(text: str, title: str) -> str:
    """The code of a text as SVG, named by `title`.

    Its colours are those of the classes `qr-paper` and `qr-ink` of the page's style: dark on light
    in every theme, for many cameras read nothing else.
    """
    import segno

    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 2 * QUIET
    dark = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, module in enumerate(row)
        if module
    )
    return (
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" aria-label="{escape(title)}"'
        ' shape-rendering="crispEdges">'
        f'<path class="qr-paper" d="M0 0h{side}v{side}h-{side}z"/>'
        f'<path class="qr-ink" d="{dark}"/></svg>'
    )


@dataclass(frozen=True)
class Link:
    """An address for another device, and its QR code (SVG). The pass-phrase is in neither."""

    address: str
    code: str


@dataclass(frozen=True)
class Devices:
    """The ways to both socks by their turn, none where no other device reaches this workshop;
    `command` would open it to them. `secure` tells whether the way is encrypted."""

    links: dict[str, Link]
    secure: bool
    command: str = COMMAND


def devices(context: RequestContext, id: str) -> Devices:
    """How other devices come to the bench of a pair."""
    base = base_for_others(context.request.url, context.app_state.reach)
    title = context.locale.render(_("QR code of the address below"))
    addresses = {which: f"{base}/socks/{id}/bench/{which}" for which in WHICH} if base else {}
    links = {which: Link(one, qr_svg(one, title)) for which, one in addresses.items()}
    return Devices(links, base.startswith("https:"))


@router.get("")
def choose(context: Context, id: str) -> Response:
    """Which sock of the pair to go on with."""
    shown = pair(context.shop, id)
    plans = plans_for(context.shop, id)
    far = {which: progress(context, id, plan, which) for which, plan in plans.items()}
    following = next(
        (which for which, (done, count_steps) in far.items() if done < count_steps), ""
    )
    return context.page(
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
        first=[sentence(words) for words in short_words(context.shown(plans[FIRST]))],
        devices=devices(context, id),
        damaged_entries=context.shop.damaged_entries(id),
    )


@router.get("/{which}")
def one(context: Context, id: str, which: str) -> Response:
    """One sock, from the place its log has come to."""
    shown, which = pair(context.shop, id), which_of(which)
    return context.page(
        "bench.html", **bench_context(context, shown, bench_for(context.shop, id, which))
    )


def bench_context(context: RequestContext, shown: Pair, bench: Bench) -> dict[str, Any]:
    """What the page of one sock is made of."""
    plan, which = bench.plan, bench.which
    return {
        "pair": shown,
        "sock_name": sock_name(plan, which),
        "bench": bench_of(context, bench),
        "cylinder": bench_cylinder_svg(plan, Theme.PAGE, context.locale),
        "figures": {
            key: draw(context.locale.gettext(title), Theme.PAGE)
            for key, (title, draw) in FIGURES.items()
        },
        "log": log_data(log_of(context.shop, shown.id, which)),
        "log_name": file_name(shown.sock.name, f"{which}-log.json"),
    }
