"""What an address asks to plan, worked out: the plan, or what is missing, wrong or refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from urllib.parse import parse_qsl

from sockwright.errors import Problem
from sockwright.i18n.messages import _
from sockwright.order.changes import as_tables, merged
from sockwright.plan.short_yarn import shortages
from sockwright.store.items import ItemKind, Thing
from sockwright.web.forms.problems import plainly
from sockwright.web.forms.texts import full_label, plain_path
from sockwright.web.plan.choices import SLIDERS, PlanRequest, Slider, query_of
from sockwright.workshop.answers import Choice, Planned, Problems, Refused, Written
from sockwright.workshop.elsewhere import Elsewhere, Found, found_elsewhere, good_choice
from sockwright.workshop.kinds import TYPES
from sockwright.workshop.planning import Plans
from sockwright.workshop.workshop import Workshop

Outcome = Planned | Problems | Refused
Order = Written | Problems

KINDS_OF_PATH = {word: kind for kind, item in TYPES.items() for word in item.in_order}
"""The kind of thing that the first word of a problem's path belongs to."""


@dataclass(frozen=True)
class Choosable:
    """All that can be chosen."""

    people: tuple[Thing, ...]
    machines: tuple[Thing, ...]
    yarns: tuple[Thing, ...]
    designs: tuple[Thing, ...]
    swatches: tuple[Thing, ...]


NOTHING_KEPT = Choosable((), (), (), (), ())
"""For whom nothing is to be chosen any more."""


@dataclass(frozen=True)
class MoreKept:
    """What else of the workshop may help where a choice does not do: choices to try instead, and
    the yarns that may knit a part."""

    elsewhere: tuple[Elsewhere, ...]
    yarns: tuple[tuple[str, str], ...]
    """The id and name of each."""


@dataclass(frozen=True)
class ResolvedRequest:
    """A request with the orders that it makes: a plan is worked out from these and nothing else.

    `choice` and `order` are None while `missing` names what must be chosen first. `beside` is the
    order on a second cylinder; `more` is read only where it is wanted.
    """

    request: PlanRequest
    missing: tuple[str, ...] = ()
    choice: Choice | None = None
    order: Order | None = None
    beside: Order | None = None
    more: MoreKept | None = None

    @property
    def key(self) -> str:
        """What the plan depends on: the same for the same plan."""
        return _toml(self.order)

    @property
    def beside_key(self) -> str:
        """The same of the plan on the second cylinder."""
        return _toml(self.beside)

    def unplanned(self, choosable: Choosable = NOTHING_KEPT) -> Planning:
        """What is known before anything is planned."""
        return Planning(self.request, choosable, self.missing, self.choice)


@dataclass(frozen=True)
class Planning:
    """A request worked out.

    `choice` and `outcome` are None while `missing` names what must be chosen first. `beside` is
    the outcome on the second cylinder.
    """

    request: PlanRequest
    choosable: Choosable
    missing: tuple[str, ...] = ()
    choice: Choice | None = None
    outcome: Outcome | None = None
    beside: Outcome | None = None
    elsewhere: tuple[Found, ...] = ()
    yarns: tuple[tuple[str, str], ...] = ()

    @property
    def wants_more(self) -> bool:
        """Whether other things of the workshop may help: nothing of the order does, yarn is short,
        or nothing was chosen yet."""
        if self.choice is None:
            chosen = self.request
            return not (chosen.person or chosen.machine or chosen.yarns)
        if isinstance(self.outcome, Refused):
            return not any(offer.what for offer in self.outcome.refusal.offers)
        return isinstance(self.outcome, Planned) and any(map(shortages, self.outcome.pair.socks))

    @cached_property
    def query(self) -> str:
        """The address's query, spelled out; "" while something is missing."""
        return self._query(self.choice, self.request.beside)

    @cached_property
    def plain_query(self) -> str:
        """The same without the second cylinder."""
        return self._query(self.choice)

    def query_on(self, needles: int) -> str:
        """The same on another cylinder."""
        choice = self.choice
        return self._query(None if choice is None else replace(choice, needles=needles))

    @property
    def query_of_best(self) -> str:
        """The same on whichever cylinder matches best; "" where none was chosen here."""
        choice = self.choice
        if choice is None or choice.needles is None:
            return ""
        return self._query(replace(choice, needles=None))

    def query_with(self, what: Mapping[str, Any]) -> str:
        """The same with these dotted keys of [sock] instead of its own."""
        choice, keys = self.choice, dict(what)
        if choice is None:
            return ""
        needles = keys.pop("needles", choice.needles)
        what_if = merged(choice.what_if, as_tables(keys))
        return self._query(replace(choice, needles=needles, what_if=what_if))

    def query_of_yarn(self, parts: Iterable[str], yarn: str) -> str:
        """The same with parts knitted of another yarn."""
        choice = self.choice
        if choice is None:
            return ""
        return self._query(replace(choice, yarns={**choice.yarns, **dict.fromkeys(parts, yarn)}))

    def query_beside(self, needles: int) -> str:
        """The same with another cylinder beside it."""
        return self._query(self.choice, needles)

    def _query(self, choice: Choice | None, beside: int | None = None) -> str:
        if choice is None:
            return ""
        return query_of(choice, beside, fitting=not self.request.swatches_chosen)

    @cached_property
    def spelled_out(self) -> str:
        """The query with the swatches it stands on, so that it means the same for ever."""
        return "" if self.choice is None else query_of(self.choice, self.request.beside)

    @property
    def fields(self) -> list[tuple[str, str]]:
        """The query as the fields of a form, with the swatches it stands on."""
        return [] if self.choice is None else parse_qsl(query_of(self.choice))

    @cached_property
    def as_designed(self) -> str:
        """The query without anything tried."""
        choice = self.choice
        return self._query(
            None if choice is None else replace(choice, what_if={}), self.request.beside
        )

    @property
    def fitting(self) -> tuple[Thing, ...]:
        """The swatches of the chosen yarns, those of the chosen machine first."""
        own = _of_yarns(self.request, self.choosable.swatches)
        return tuple(sorted(own, key=lambda one: one.fields["machine_id"] != self.request.machine))

    @property
    def machine(self) -> Thing | None:
        """The chosen machine."""
        return next(
            (one for one in self.choosable.machines if one.id == self.request.machine), None
        )


def what_is_kept(shop: Workshop) -> Choosable:
    """All that can be chosen now."""
    kinds = (ItemKind.PERSON, ItemKind.MACHINE, ItemKind.YARN, ItemKind.DESIGN, ItemKind.SWATCH)
    return Choosable(*shop.everything(kinds=kinds).values())


def ask(shop: Workshop, request: PlanRequest) -> ResolvedRequest:
    """Read what a request takes of all that is kept, and plan nothing yet."""
    missing = _missing(request)
    if missing:
        return ResolvedRequest(request, missing)
    if request.swatches_chosen:
        own = {one.id for one in _of_yarns(request, shop.things(ItemKind.SWATCH))}
        swatches = tuple(id for id in request.swatches if id in own)
    else:
        swatches = shop.fitting_swatches(request.machine, request.yarns.values())
    choice, beside = request.choice(swatches), None
    if request.beside is not None:
        beside = shop.write_order(request.choice(swatches, request.beside))
    return ResolvedRequest(request, (), choice, shop.write_order(choice), beside)


def plan_asked(
    plans: Plans, asked: ResolvedRequest, choosable: Choosable = NOTHING_KEPT
) -> Planning:
    """Plan what is asked for: no cylinder beside itself."""
    if asked.order is None:
        begin = () if asked.more is None else good_choice(plans, asked.more.elsewhere)
        return replace(asked.unplanned(choosable), elsewhere=begin)
    outcome, beside = _outcome(plans, asked.order), None
    if asked.beside is not None and asked.request.beside != _needles(outcome):
        beside = _outcome(plans, asked.beside)
    planning = Planning(asked.request, choosable, asked.missing, asked.choice, outcome, beside)
    if asked.more is None:
        return planning
    tried = asked.more.elsewhere if isinstance(outcome, Refused) else ()
    return replace(planning, elsewhere=found_elsewhere(plans, tried), yarns=asked.more.yarns)


def ask_for_more(shop: Workshop, asked: ResolvedRequest) -> ResolvedRequest:
    """The request with what else is kept that may help."""
    if asked.choice is None:
        return replace(asked, more=MoreKept(shop.first_choices(asked.request.units), ()))
    used = set(asked.choice.yarns.values())
    yarns = tuple(
        (one.id, one.name)
        for one in shop.things(ItemKind.YARN)
        if one.id not in used and not one.fields["used_up"]
    )
    return replace(asked, more=MoreKept(shop.choices_elsewhere(asked.choice), yarns))


def work_out(shop: Workshop, request: PlanRequest) -> Planning:
    """Ask, and plan it here."""
    asked, choosable = ask(shop, request), what_is_kept(shop)
    planning = plan_asked(shop.plans, asked, choosable)
    if not planning.wants_more:
        return planning
    return plan_asked(shop.plans, ask_for_more(shop, asked), choosable)


def _toml(order: Order | None) -> str:
    return order.toml if isinstance(order, Written) else ""


def _outcome(plans: Plans, order: Order) -> Outcome:
    return order if isinstance(order, Problems) else plans.of(order)


def _of_yarns(request: PlanRequest, swatches: Iterable[Thing]) -> list[Thing]:
    """The swatches of the yarns of a request."""
    yarns = set(request.yarns.values())
    return [one for one in swatches if one.fields["yarn_id"] in yarns]


def _needles(outcome: Outcome) -> int | None:
    """The needles of the cylinder that was planned on; None without a plan."""
    return outcome.pair.first.sizing.needles if isinstance(outcome, Planned) else None


def cylinders(machine: Thing | None) -> list[int]:
    """The needles of each cylinder of a kept machine."""
    given = [] if machine is None else machine.document.get("cylinders", [])
    every = given if isinstance(given, list) else [given]
    needles = [one.get("needles") if isinstance(one, dict) else one for one in every]
    return [int(one) for one in needles if isinstance(one, int | float)]


@dataclass(frozen=True)
class SliderState:
    """A slider as it is shown: where it stands, where it stood, and its range."""

    slider: Slider
    value: float
    was: float
    least: float
    most: float
    step: float
    unit: str

    @property
    def tried(self) -> bool:
        """Whether it was moved."""
        return self.value != self.was


def sliders(planning: Planning) -> list[SliderState]:
    """The what-if sliders, where the plan stands; none while there is no plan to try on."""
    standing = _standing(planning)
    shown = []
    for slider in SLIDERS:
        request, units = planning.request, planning.request.units
        least, most, step = slider.ranges[units]
        now = standing.get(slider.name)
        if now is None:
            continue
        now = min(max(round(now / step) * step, least), most)
        moved = request.tried.get(slider.name, now)
        tried = slider.name in request.was and moved != request.was[slider.name]
        was = request.was[slider.name] if tried else now
        value = moved if tried else now
        shown.append(SliderState(slider, value, was, least, most, step, slider.unit(units)))
    return shown


def _standing(planning: Planning) -> dict[str, float]:
    """Where each slider stands by the plan, in its own unit; what a refused plan asked for."""
    outcome = planning.outcome
    if outcome is None or isinstance(outcome, Problems):
        return {
            name: value for name, value in planning.request.was.items() if planning.request.tried
        }
    ease = outcome.composed.order.sock.ease
    found = {"girth": 100 * ease.girth, "length": 100 * ease.length}
    if isinstance(outcome, Planned):
        plan, one = outcome.pair.first, 25.4 if planning.request.units == "in" else 10.0
        found["hem"] = plan.sizing.cuff_depth.value / one
        found["leg"] = plan.fabric.leg_length.value / one
    return {**planning.request.was, **found} if planning.request.tried else found


def _missing(request: PlanRequest) -> tuple[str, ...]:
    wanted = (
        (request.person, _("a person")),
        (request.yarns.get("main"), _("a yarn")),
        (request.machine, _("a machine")),
    )
    return tuple(words for given, words in wanted if not given)


def mend_address(problem: Problem, choice: Choice) -> str:
    """The page where a problem can be mended, "" if that is this one."""
    first, _, rest = problem.path.replace("[", ".").partition(".")
    ids = {
        ItemKind.PERSON: choice.person,
        ItemKind.MACHINE: choice.machine,
        ItemKind.YARN: choice.yarns.get(rest.split(".")[0], ""),
        ItemKind.DESIGN: choice.design or "",
    }
    kind = KINDS_OF_PATH.get(first)
    if kind is ItemKind.SWATCH:
        number = rest.split("]")[0]
        place = int(number) - 1 if number.isdecimal() else -1
        ids[kind] = choice.swatches[place] if 0 <= place < len(choice.swatches) else ""
    if kind is None or not ids.get(kind) or "." not in problem.path:
        return ""
    if kind is ItemKind.DESIGN and _asked_here(rest, choice.what_if):
        return ""
    return f"/{TYPES[kind].plural}/{ids[kind]}"


def named_place(problem: Problem) -> str:
    """The place of a problem as its field is called on the page of the thing, with the thing."""
    kind, path = _own_place(problem)
    if kind is None:
        return path
    thing = TYPES[kind].called
    return _("{thing}, {field}", thing=thing, field=full_label(kind, path)) if path else thing


def plain(problem: Problem) -> Problem:
    """The problem without words of the order file."""
    kind, path = _own_place(problem)
    return replace(plainly(kind, replace(problem, path=path)), path=problem.path)


def _own_place(problem: Problem) -> tuple[ItemKind | None, str]:
    """The kind of thing that a problem of an order is of, and its path within that thing."""
    first, _, rest = problem.path.partition(".")
    kind = KINDS_OF_PATH.get(plain_path(first))
    if kind is None or kind is ItemKind.PERSON:
        return kind, problem.path
    return kind, rest.partition(".")[2] if kind is ItemKind.YARN else rest


def _asked_here(path: str, what_if: Mapping[str, Any]) -> bool:
    """Whether the value of a key of [sock] comes from this page, not from the design."""
    here: Any = what_if
    for name in path.split("."):
        if not isinstance(here, Mapping) or name not in here:
            return False
        here = here[name]
    return True
