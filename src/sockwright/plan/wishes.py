"""What wearers said of finished socks: how it moves the wishes of the next one, and the fabric's
opening, and what to change for it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from math import exp, log

from sockwright.estimates import Derivation, Estimate, Input
from sockwright.facts import fact
from sockwright.i18n import Message, _, ngettext
from sockwright.measure.answers import (
    Answer,
    Heard,
    Scale,
    girth_scale,
    hear,
    heel_scale,
    length_scale,
    opening_scale,
    pull_is_due,
)
from sockwright.measure.foot import Foot
from sockwright.measure.from_socks import courses_of
from sockwright.measure.gauge import Gauge
from sockwright.measure.smallest_change import kept_more, rounds_more
from sockwright.order.model import AnswersGiven, FinishedGiven, Order, SockGiven, StaysUpAnswer
from sockwright.sock.cup import default_kept

READ_SD = 0.006
"""Relative sd of a sock measured with a ruler (0.5 mm of a width, 1 mm of a length, laid flat)."""


@dataclass(frozen=True)
class Wishes:
    """What answers say of length, girth and heel wished for and of the opening; None where none
    was given. `slipped` tells that the top of the last sock asked about did."""

    length: Heard | None = None
    girth: Heard | None = None
    heel: Heard | None = None
    opening: Heard | None = None
    slipped: bool = False
    pull_due: bool = False

    def of_sock(self, sock: SockGiven) -> SockGiven:
        """The sock as it is wished for after the answers: its eases moved as far as they say."""
        ease = sock.ease
        girth, length = (
            1 - (1 - given) * exp(heard.applied) if heard else given
            for given, heard in ((ease.girth, self.girth), (ease.length, self.length))
        )
        return replace(sock, ease=replace(ease, girth=girth, length=length))

    def of_gauge(self, gauge: Gauge) -> Gauge:
        """The gauge with its opening as answers have it."""
        before, heard = gauge.open_ratio, self.opening
        if heard is None or before.how is None:
            return gauge
        value = exp(heard.mean)
        said = Derivation(
            "answers.putting_on",
            _("how finished socks went on"),
            _("the wearer's answers"),
            origin="measured",
        )
        left = min(1.0, (heard.sd / (before.sd / before.value)) ** 2)
        expected = before.called(replace(before.how, key="gauge.error.opening"))
        how = Derivation(
            before.how.key,
            before.how.label,
            _("answers on a latent scale (ordered probit, any textbook of statistics)"),
            _("what was expected of the fabric, moved as far as the answers say"),
            take=lambda: (
                Input(expected, left),
                Input(Estimate(value, 0.0, "1", said), 1 - left),
            ),
        )
        answered = Estimate(value, value * heard.sd, "1", how)
        return replace(gauge, open_ratio=answered, unanswered=before)


LEAST_SHIFT = 0.005
"""A shift of girth that is worth a word."""


def wishes_of(order: Order, foot: Foot, gauge: Gauge) -> Wishes:
    """What the answers about finished socks say, `gauge` being that of the next one's fabric."""
    asked = [sock for sock in order.finished if sock.washes and sock.answers != AnswersGiven()]
    if not asked:
        return Wishes()
    ease, opens = order.sock.ease, gauge.unanswered or gauge.open_ratio
    length = foot.length.estimate.value * (1 - ease.length)
    girth = foot.ball_girth.estimate.value * (1 - ease.girth)
    of_length, of_girth, of_heel, puts_on = [], [], [], []
    for sock in asked:
        said = sock.answers
        long, round_ = _length(sock, gauge), _girth(sock, gauge)
        if said.length and long:
            of_length.append(Answer(said.length, log(long.value / length), _relative(long)))
        if said.round and round_:
            of_girth.append(Answer(said.round, log(round_.value / girth), _relative(round_)))
        if said.heel and sock.heel_rows:
            of_heel.append(Answer(said.heel, _deeper(sock.needles // 2, sock.heel_rows), 0.0))
        if said.putting_on and round_:
            need = foot.heel_girth.estimate / round_
            puts_on.append(Answer(said.putting_on, log(need.value), need.sd / need.value))
    easily, at_all = (fact("fit", name).number for name in ("easily_of_pull", "at_all_of_pull"))
    stays = [sock.answers.stays_up for sock in asked if sock.answers.stays_up]
    return Wishes(
        _heard(length_scale(), of_length),
        _heard(girth_scale(), of_girth),
        _heard(heel_scale(), of_heel),
        _heard(opening_scale(opens, easily, at_all), puts_on),
        bool(stays) and stays[-1] is StaysUpAnswer.SLIPS,
        pull_is_due(puts_on, opens, easily),
    )


def _heard(scale: Scale, answers: Sequence[Answer]) -> Heard | None:
    return _hear_once(scale, tuple(answers)) if answers else None


@lru_cache(maxsize=256)
def _hear_once(scale: Scale, answers: tuple[Answer, ...]) -> Heard:
    """What answers say: every cylinder that is tried hears the same ones again."""
    return hear(scale, answers)


def _relative(size: Estimate) -> float:
    return size.sd / size.value


def _length(sock: FinishedGiven, gauge: Gauge) -> Estimate | None:
    """The foot of a finished sock as it is, mm: measured, or its courses by the gauge."""
    if sock.foot_length_mm is not None:
        return Estimate(sock.foot_length_mm, READ_SD * sock.foot_length_mm, "mm")
    courses = courses_of(sock)
    if courses is None or sock.yarn != "main":
        return None
    size = gauge.course * courses
    return Estimate(size.value, size.sd, "mm")


def _girth(sock: FinishedGiven, gauge: Gauge) -> Estimate | None:
    """The girth of a finished sock's foot, mm: measured flat, or its wales by the gauge."""
    if sock.flat_width_mm is not None:
        return Estimate(2 * sock.flat_width_mm, 2 * READ_SD * sock.flat_width_mm, "mm")
    if sock.yarn != "main":
        return None
    size = gauge.wale * sock.needles
    return Estimate(size.value, size.sd, "mm")


def _deeper(half: int, heel_rows: int) -> float:
    """By how much of the half's needles a heel is deeper than the usual one: one row raises or
    lowers one needle."""
    kept = half - heel_rows / 2
    return (default_kept(half) - kept) / half


def wish_notes(wishes: Wishes, half: int, gauge: Gauge, wish_mm: float) -> Iterator[Message]:
    """What the answers moved, and the smallest change for what is not in the plan already; `half`
    are the needles of the heel, `wish_mm` the length wished for."""
    heard = [h for h in (wishes.length, wishes.girth, wishes.heel, wishes.opening) if h]
    if any(one.contradictory for one in heard):
        yield _("answers about finished socks contradict each other: measure foot and fabric")
    if wishes.length is not None:
        yield from _of_length(rounds_more(wishes.length.applied, wish_mm, gauge.course.value))
    if wishes.girth is not None and abs(wishes.girth.applied) >= LEAST_SHIFT:
        percent = 100 * (exp(wishes.girth.applied) - 1)
        wider = _("by what was said of finished socks it is planned {n:.1f} % wider", n=percent)
        if percent < 0:
            wider = _(
                "by what was said of finished socks it is planned {n:.1f} % narrower", n=-percent
            )
        yield wider
        kept = 2 if percent < 0 else -2
        yield from _of_kept(kept, _("for the instep alone"))
    if wishes.heel is not None:
        yield from _of_kept(kept_more(wishes.heel.applied, half), _("for the heel"))
    if wishes.pull_due:
        yield _(
            "finished socks did not go on that should have: pull a washed piece in width with both "
            "hands and note it as a firm pull"
        )


def _of_length(rounds: int) -> Iterator[Message]:
    if rounds > 0:
        yield ngettext(
            "by what was said of finished socks the foot has {n} round more",
            "by what was said of finished socks the foot has {n} rounds more",
            rounds,
        )
    elif rounds < 0:
        yield ngettext(
            "by what was said of finished socks the foot has {n} round fewer",
            "by what was said of finished socks the foot has {n} rounds fewer",
            -rounds,
        )


def _of_kept(kept: int, why: Message) -> Iterator[Message]:
    if kept < 0:
        yield _("{why}: keep {n} needles fewer in work at the turn", why=why, n=-kept)
    elif kept > 0:
        yield _("{why}: keep {n} needles more in work at the turn", why=why, n=kept)
