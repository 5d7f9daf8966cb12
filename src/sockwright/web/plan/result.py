"""What the planning page shows, for its templates and for its data alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sockwright.errors import SockwrightError
from sockwright.i18n.locale import Locale
from sockwright.i18n.messages import N_, Message, _, capitalised, joined
from sockwright.needlebed.findings import Code
from sockwright.order.model import YARN_ROLES
from sockwright.plan.data import instructions
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.plan.notes import cures_of_top, doubts_of, finding_words, plan_notes
from sockwright.plan.numbers import OF_FIT
from sockwright.plan.short_yarn import Cure, Shortage, shortages
from sockwright.plan.trust import size_verdict
from sockwright.sock.fit import CylinderFit
from sockwright.store.items import ItemKind
from sockwright.web.plan.choices import query_of
from sockwright.web.plan.planning import (
    Planning,
    cylinders,
    mend_address,
    named_place,
    plain,
    sliders,
)
from sockwright.web.plan.rows import (
    ROLES,
    Column,
    Row,
    columns,
    cylinder_drawing,
    cylinder_words,
    fit_cell,
    foot_rows,
    gauge_rows,
    profile_drawing,
    sock_rows,
    yarn_rows,
)
from sockwright.web.plan.why import ExplainLink, beside_each_other
from sockwright.web.preferences import Formats, Preferences
from sockwright.wording.instructions import Instruction, group_steps
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.printing import sheet_files


def beside_rows(shown: Sequence[Column], notes: Sequence[Mapping[str, Any]]) -> list[Row]:
    """A line for the fit and one for the dry run; `notes` are the words of each sock's plan."""
    return [
        Row(_("How it fits"), ("fit.score",), tuple(_fit(column) for column in shown)),
        Row(_("In the dry run"), ("dry_run.loops",), tuple(_run(words) for words in notes)),
    ]


def _fit(column: Column) -> str:
    fit = column.plan.fit
    reasons = joined("; ", fit.reasons)
    if fit.fits:
        return capitalised(reasons)
    return _("{verdict}: {reasons}", verdict=capitalised(fit.verdict), reasons=reasons)


def _run(words: Mapping[str, Any]) -> str:
    plan = words["plan"]
    proof = _("dry run passed") if plan.dry_run.ok else _("dry run failed")
    found = [told for _, told in words["findings"]] or [_("nothing found")]
    return capitalised(
        _(
            "{proof}, {loops} loops, {steps} steps: {found}",
            proof=proof,
            loops=words["loops"],
            steps=words["count"],
            found=joined("; ", found),
        )
    )


@dataclass(frozen=True)
class Ranked:
    """A cylinder with the numbers of its fit.

    `take` and `beside` are the queries that plan on it, and that set it beside; "" where it is so.
    """

    fit: CylinderFit
    taken: bool
    take: str
    beside: str
    rows: tuple[Row, ...]


def ranking(plan: SockPlan, planning: Planning, formats: Formats) -> list[Ranked]:
    """The cylinders, the best first."""
    own, other = plan.sizing.needles, planning.request.beside
    return [
        Ranked(
            fit,
            fit.cylinder.needles == own,
            "" if fit.cylinder.needles == own else planning.query_on(fit.cylinder.needles),
            ""
            if fit.cylinder.needles in (own, other)
            else planning.query_beside(fit.cylinder.needles),
            tuple(_rows(fit, formats)),
        )
        for fit in plan.ranking
    ]


def _rows(fit: CylinderFit, formats: Formats) -> Iterator[Row]:
    """The numbers of a cylinder's fit, by the names that they have in a plan."""
    for name, get in OF_FIT.items():
        how = get(fit).how
        assert how is not None, name
        key = f"fit.cylinders.{fit.cylinder.needles}.{name}"
        yield Row(capitalised(how.label), (key,), (fit_cell(name, fit, formats),))


PARTS = tuple(role for role in YARN_ROLES if role != "main")
"""The parts that may have a yarn of their own."""


def choice_context(planning: Planning) -> dict[str, Any]:
    """What can be chosen, and what is."""
    return {
        "planning": planning,
        "request": planning.request,
        "choosable": planning.choosable,
        "parts": [(role, ROLES[role]) for role in PARTS],
        "cylinders": sorted(cylinders(planning.machine)),
        "picked": planning.choice.swatches if planning.choice else planning.request.swatches,
    }


def result_context(reader: Preferences, planning: Planning) -> dict[str, Any]:
    """What came of a choice, for templates and data alike."""
    return {
        "planning": planning,
        "request": planning.request,
        "sliders": sliders(planning),
        "asking": ExplainLink("/plan/why", planning.query),
        "result": _result(reader, planning),
    }


def drawings(planning: Planning, locale: Locale) -> dict[str, list[tuple[str, str]]]:
    """The figures of a plan under their headings: each sock, and each cylinder."""
    if not isinstance(planning.outcome, Planned):
        return {"profiles": [], "cylinders": []}
    plans = beside_each_other(planning.outcome.pair, other_pair(planning))
    shown = [sock for one in plans for sock in columns(one.pair, one.heading)]
    return {
        "profiles": [(one.heading, profile_drawing(one.plan, locale)) for one in shown],
        "cylinders": [
            (
                cylinder_words(one.pair.first, one.heading),
                cylinder_drawing(one.pair.first, locale),
            )
            for one in plans
        ],
    }


def program_of(pair: PairPlan, which: int, language: str) -> tuple[Instruction, ...]:
    """The crank program of one of the socks of a pair, counted from 0; none where it has fewer."""
    return instructions(pair.socks[which], language) if which < len(pair.socks) else ()


def _result(reader: Preferences, planning: Planning) -> dict[str, Any]:
    """The outcome in words and rows; "state" says which of them there are."""
    outcome = planning.outcome
    if outcome is None:
        return {"state": "missing", "elsewhere": elsewhere(planning)}
    assert planning.choice is not None
    if isinstance(outcome, Problems):
        found = [
            (plain(one), named_place(one), mend_address(one, planning.choice))
            for one in outcome.problems
        ]
        at_cylinder = any(one.path == "sock.needles" for one in outcome.problems)
        best = planning.query_of_best if at_cylinder else ""
        return {"state": "problems", "problems": found, "best_match": best}
    if isinstance(outcome, Refused):
        return {
            "state": "refused",
            "refusal": outcome.refusal,
            "ways": [
                (offer, planning.query_with(offer.what) if offer.what else "")
                for offer in outcome.refusal.offers
            ],
            "elsewhere": elsewhere(planning),
        }
    return {"state": "planned", **_planned(reader, planning, outcome)}


def _planned(reader: Preferences, planning: Planning, outcome: Planned) -> dict[str, Any]:
    pair, plan, formats = outcome.pair, outcome.pair.first, reader.formats
    plans = beside_each_other(pair, other_pair(planning))
    shown = [sock for one in plans for sock in columns(one.pair, one.heading)]
    words = [(one.heading, _words(one.plan, reader.locale)) for one in shown]
    short = shortages(plan)
    return {
        "plan": plan,
        "ok": pair.ok,
        "short": [(one, list(_ways(planning, one))) for one in short],
        "tops": [
            (offer, planning.query_with(offer.what) if offer.what else "")
            for offer in cures_of_top(plan)
        ],
        "two_cylinders": len(plans) > 1,
        "notes_of": words,
        "shared_notes": [
            note
            for note in words[0][1]["notes"]
            if all(note in others["notes"] for _, others in words)
        ],
        "shown": shown,
        "beside_rows": beside_rows(shown, [each for _, each in words]) if plans[1:] else [],
        "sock_rows": sock_rows(shown, formats),
        "gauge_rows": gauge_rows(shown, formats),
        "feet": columns(pair),
        "foot_rows": foot_rows(columns(pair), formats),
        "yarns": yarn_rows(plans, formats, _pages_of_yarns(planning)),
        "profiles": [(one.heading, "") for one in shown],
        "cylinders": [(cylinder_words(one.pair.first, one.heading), "") for one in plans],
        "programs": [
            (one.heading, len(group_steps(one.plan.program.steps)), ()) for one in columns(pair)
        ],
        "ranking": ranking(plan, planning, formats),
        "beside_refused": _refused(planning.beside),
        "next": plan.next_reading.best,
        "sheets": sheet_files(pair, reader.paper),
    }


@dataclass(frozen=True)
class Way:
    """What would do where yarn is short: the query that plans it, or of each other yarn, by name,
    those that plan the part in it."""

    cure: Cure
    query: str
    yarns: tuple[tuple[str, str], ...]


def _ways(planning: Planning, short: Shortage) -> Iterator[Way]:
    for cure in short.cures:
        yarns = planning.yarns if cure.parts else ()
        yield Way(
            cure,
            planning.query_with(cure.what) if cure.what else "",
            tuple((name, planning.query_of_yarn(cure.parts, id)) for id, name in yarns),
        )


@dataclass(frozen=True)
class Instead:
    """Another thing of the workshop with which the sock can be made: its query, and what kind of
    thing it is."""

    query: str
    words: Message
    told: Message


_INSTEAD = {
    ItemKind.YARN: N_("with the yarn {name}"),
    ItemKind.MACHINE: N_("on the machine {name}"),
    ItemKind.DESIGN: N_("by the design {name}"),
    ItemKind.PERSON: N_("for {name}"),
}


def elsewhere(planning: Planning) -> list[Instead]:
    """What else of the workshop makes a sock."""
    return [
        Instead(
            query_of(one.elsewhere.choice, fitting=True),
            _(_INSTEAD[one.elsewhere.kind], name=one.elsewhere.name)
            if planning.choice
            else _(one.elsewhere.name),
            size_verdict(one.planned.pair.first).words(planning.request.units),
        )
        for one in planning.elsewhere
    ]


def other_pair(planning: Planning) -> PairPlan | None:
    """The pair on the second cylinder, where there is one."""
    return planning.beside.pair if isinstance(planning.beside, Planned) else None


def _pages_of_yarns(planning: Planning) -> dict[str, str]:
    """The page of each yarn that was chosen, by its role."""
    assert planning.choice is not None
    return {role: f"/yarns/{id}" for role, id in planning.choice.yarns.items()}


def _words(plan: SockPlan, locale: Locale) -> dict[str, Any]:
    """Verdict, findings and notes of one sock; a finding names its step in a language."""
    run = plan.dry_run
    steps = instructions(plan, locale.code) if run.findings else ()
    found = [(one, finding_words(plan, one, steps)) for one in run.findings]
    return {
        "plan": plan,
        "loops": run.loops.kept,
        "count": len(group_steps(plan.program.steps)),
        "doubts": doubts_of(plan),
        "size": size_verdict(plan),
        "findings": found,
        # That yarn gives out is told before all else.
        "others": [each for each in found if each[0].code is not Code.YARN_GONE],
        # What would do instead of the top is shown with a button each.
        "notes": plan_notes(plan, cures=False),
    }


def _refused(beside: object) -> SockwrightError | str | None:
    """Why there is no second cylinder to see."""
    if isinstance(beside, Refused):
        return beside.refusal.reason
    return str(beside) if isinstance(beside, Problems) else None
