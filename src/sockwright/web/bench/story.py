"""What a pair's page tells of the two socks at the machine, in the visitor's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from sockwright.bench.counting import DO, ROW, CountStep
from sockwright.bench.follow import by_section, section_name, section_told, sections_told
from sockwright.bench.log import FIRST, SECOND, Record, Remark, apart
from sockwright.bench.page_data import sock_name
from sockwright.i18n.messages import Message, _, capitalised
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan
from sockwright.plan.notes import finding_words
from sockwright.program.draft import CORD, WASTE
from sockwright.web.bench.view import progress_words
from sockwright.web.context import RequestContext
from sockwright.web.plan.rows import ROLES
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.bench import SockAtBench

MINUTE_S = 60.0


@dataclass(frozen=True)
class Measure:
    """A number of a sock as it was planned and as it was knitted."""

    label: str
    planned: str
    knitted: str


@dataclass(frozen=True)
class DatedNote:
    """A note or deviation: when, where in the sock, and the text as it was written."""

    moment: str
    where: str
    text: str
    deviation: bool


@dataclass(frozen=True)
class Story:
    """One sock at the machine; `begun` is "" and all after it empty before anything was counted.

    `opens` is false where its plan, following the first sock, is not proven and so not counted by.
    `more` tells each section's rounds more or fewer, `findings` what the dry run of the sock as it
    was knitted found, and `proven` whether it found nothing that spoils it. `as_first` is what the
    second sock follows of the first, `of_first` what else is told of that.
    """

    which: str
    name: str
    progress: str
    opens: bool = True
    as_first: tuple[Message, ...] = ()
    of_first: tuple[Message, ...] = ()
    finished: bool = False
    begun: str = ""
    last: str = ""
    worked: str = ""
    more: tuple[str, ...] = ()
    impossible: tuple[str, ...] = ()
    notes: tuple[DatedNote, ...] = ()
    measures: tuple[Measure, ...] = ()
    proven: bool = True
    findings: tuple[str, ...] = ()

    @property
    def in_words(self) -> bool:
        """Whether something that was done otherwise was written in words, which are not proven."""
        return any(note.deviation for note in self.notes)


@dataclass(frozen=True)
class AtMachine:
    """Both socks of a pair, and how the second differs from the first."""

    socks: tuple[Story, ...] = ()
    apart: tuple[str, ...] = ()
    alike: bool = False


def at_machine(
    context: RequestContext, id: str, planned: Planned | Problems | Refused
) -> AtMachine:
    """What is told of a pair's socks; nothing where there is no proven plan to knit by."""
    if not isinstance(planned, Planned) or not planned.pair.ok:
        return AtMachine()
    if not any(context.shop.bench_log(id, which) for which in (FIRST, SECOND)):
        first, second = planned.pair.both
        names = {FIRST: sock_name(first, FIRST), SECOND: sock_name(second, SECOND)}
        return AtMachine(tuple(Story(which, names[which], progress_words(0, 1)) for which in names))
    socks = context.shop.socks_at_bench(id, planned)
    if isinstance(socks, Problems | Refused):
        return AtMachine()
    return AtMachine(tuple(_story(context, sock) for sock in socks), *_apart(context, socks))


def _story(context: RequestContext, sock: SockAtBench) -> Story:
    record, name = sock.record, sock_name(sock.followed, sock.which)
    progress = progress_words(record.state.done, record.count_steps)
    as_first, of_first = _as_first(sock)
    if not sock.entries:
        opens = sock.followed.ok
        return Story(sock.which, name, progress, opens, as_first, of_first)
    told = instructions(context.shown(sock.knitted))
    return Story(
        which=sock.which,
        name=name,
        progress=progress,
        opens=sock.followed.ok,
        as_first=as_first,
        of_first=of_first,
        finished=record.done,
        begun=_day(context, record.begun),
        last=_day(context, record.last),
        worked=worked_words(record),
        more=tuple(section_told(section, by) for section, by in sock.more.items()),
        impossible=tuple(
            _(
                "Step {step} cannot have {rounds} more or fewer, so they are not counted here.",
                step=number,
                rounds=abs(by),
            )
            for number, by in sock.impossible.items()
        ),
        notes=tuple(_noted(context, remark, sock.followed) for remark in record.remarks),
        measures=tuple(_measures(context, sock)),
        proven=sock.knitted.dry_run.ok,
        findings=tuple(
            capitalised(finding_words(context.shown(sock.knitted), finding, told))
            for finding in sock.knitted.dry_run.findings
        ),
    )


def _as_first(sock: SockAtBench) -> tuple[tuple[Message, ...], tuple[Message, ...]]:
    """What the second sock follows of the first by section; then what it does not follow."""
    one = sock.following
    if one is None:
        return (), ()
    follows, later = (by_section(sock.planned, extra) for extra in (one.follows, one.later))
    told = []
    if one.left:
        what = sections_told(one.left)
        told.append(_("This sock cannot follow the first in this: {what}.", what=what))
    if later:
        what = sections_told(later)
        told.append(_("The first sock was changed after this one was begun: {what}.", what=what))
    if later and not follows:
        told.append(_("Knitted as planned, not following the first sock."))
    return tuple(section_told(section, by) for section, by in follows.items()), tuple(told)


def _day(context: RequestContext, moment: datetime | None) -> str:
    return "" if moment is None else context.formats.day(moment)


def worked_words(record: Record) -> Message:
    """The time worked, to the minute."""
    hours, minutes = divmod(round(record.worked_s / MINUTE_S), 60)
    if hours:
        return _("{h} h {min} min", h=hours, min=minutes)
    return _("{min} min", min=minutes) if minutes else _("less than a minute")


def _noted(context: RequestContext, remark: Remark, plan: SockPlan) -> DatedNote:
    return DatedNote(
        moment=_day(context, remark.moment),
        where=_where(remark.after, plan),
        text=remark.text,
        deviation=remark.deviation,
    )


def _where(count_step: CountStep | None, plan: SockPlan) -> Message:
    """Where the sock was: "leg, 24 of 55 rounds", "heel, step 61"."""
    if count_step is None:
        return _("before the first step")
    name = section_name(count_step.section)
    if not count_step.of or count_step.kind == DO:
        return _("{section}, step {n}", section=name, n=count_step.instruction)
    if count_step.kind == ROW:
        return _("{section}, row {n} of {of}", section=name, n=count_step.count, of=count_step.of)
    return _("{section}, round {n} of {of}", section=name, n=count_step.count, of=count_step.of)


def _measures(context: RequestContext, sock: SockAtBench) -> Iterator[Measure]:
    """The lengths and yarns of a sock; the part that is still to come counts as planned."""
    formats, planned, knitted = context.formats, sock.planned, sock.knitted
    for label, lengths in (
        (_("Height from the floor"), [p.fabric.leg_length for p in (planned, knitted)]),
        (_("Foot, heel to toe"), [p.fabric.foot_length for p in (planned, knitted)]),
    ):
        yield Measure(label, *map(formats.length, lengths))
    for role in knitted.use:
        if role in (WASTE, CORD):
            continue
        masses = [p.use[role].mass if role in p.use else None for p in (planned, knitted)]
        texts = ["" if mass is None else formats.mass(mass) for mass in masses]
        label = _("Yarn") if role == "main" else _("Yarn of the {part}", part=ROLES[role])
        yield Measure(label, *texts)


def _apart(context: RequestContext, socks: Sequence[SockAtBench]) -> tuple[tuple[str, ...], bool]:
    """How the second sock differs from the first, and whether it is alike, once it is begun."""
    first, second = socks
    if not second.entries:
        return (), False
    found = apart(first.more, second.more)
    in_words = any(one.deviation for sock in socks for one in sock.record.remarks)
    return tuple(section_told(section, by) for section, by in found.items()), not (
        found or in_words
    )
