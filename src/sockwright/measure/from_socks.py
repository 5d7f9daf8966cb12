"""An order's finished socks as evidence of its fabric: which fabric each was of, what it reads,
and what the fabric of the next sock is after all of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import exp, log

import numpy as np

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.i18n import Message, _
from sockwright.measure.belief import NAMES, Array, Belief, believe, from_setting, update
from sockwright.measure.cam_points import YarnClass, yarn_class
from sockwright.measure.finished import Component, SockReading, read_course, read_loop, read_wale
from sockwright.measure.learning import Learned, Lesson, learn
from sockwright.measure.swatch import FINENESS, SharedError, division
from sockwright.measure.swatched import NONE, SIZES, Fabrics
from sockwright.measure.swatches import SERVICE, Outfit, SortedSwatches, sort_swatches
from sockwright.measure.yarn import Yarn
from sockwright.order.model import Fabric, FinishedGiven, ForetoldGiven, SwatchGiven

MAIN = "main"
RULER_MM, BALANCE_G = 1.0, 1.0
"""Divisions of ruler and balance that finished socks are measured with."""
WRAP_SHARE = 0.5
"""Loops that a row's wrap counts as."""


@dataclass(frozen=True)
class _Key:
    """What makes a fabric: its yarn, by its role and fineness, what was foretold of a yarn that the
    order has not, cylinder and cam setting, before or after the last service."""

    yarn: str
    tex: float
    foretold: ForetoldGiven
    needles: int
    cam: float | None
    stale: bool


@dataclass(frozen=True)
class Taught:
    """What finished socks taught of the sock's fabric.

    `lesson` is that of the fabric at `place` among all that were `learned` about, `belief` what it
    leaves; `socks` of the `names` counted, `stale` of them from before the last service.
    """

    lesson: Lesson
    place: int
    learned: Learned
    belief: Belief
    socks: int
    stale: int
    names: tuple[str, ...]
    notes: tuple[Message, ...]


def teach(
    finished: Sequence[FinishedGiven],
    swatches: Sequence[SwatchGiven],
    yarns: Mapping[str, Yarn],
    outfit: Outfit,
    seen: SortedSwatches,
    belief: Belief,
) -> Taught | None:
    """What the finished socks teach of the fabric that `seen` and `belief` are of; None where none
    of them reads anything of it."""
    socks = [sock for sock in finished if sock.washes and any(_sizes(sock))]
    if not socks:
        return None
    target = _Key(MAIN, outfit.tex.value, ForetoldGiven(), seen.target.needles, seen.cam, False)
    keys = [_key_of(sock, yarns, outfit, target) for sock in socks]
    # A fabric before a service comes before the same one after it.
    order = sorted(dict.fromkeys((*keys, target)), key=lambda key: not key.stale)
    fabrics = _fabrics(order, swatches, yarns, outfit, seen, belief)
    read = [
        reading
        for number, (sock, key) in enumerate(zip(socks, keys, strict=True))
        for reading in readings(sock, order.index(key), number, key.tex)
    ]
    learned = learn(fabrics, read)
    lesson = learned.lessons[order.index(target)]
    stale = sum(key.stale for key in keys)
    return Taught(
        lesson,
        order.index(target),
        learned,
        _after(belief, lesson),
        len(socks),
        stale,
        tuple(sock.name for sock in socks),
        tuple(_notes(socks, learned, stale)),
    )


def _sizes(sock: FinishedGiven) -> tuple[bool, ...]:
    """Whether its courses, wales and loops can be read, of foot and leg."""
    plain_leg = sock.leg_fabric is Fabric.PLAIN
    return (
        courses_of(sock) is not None and sock.foot_length_mm is not None,
        sock.flat_width_mm is not None,
        _loops(sock) is not None,
        plain_leg and bool(sock.leg_length_mm and sock.leg_rounds),
        plain_leg and sock.leg_flat_width_mm is not None,
    )


def courses_of(sock: FinishedGiven) -> float | None:
    """Courses of its foot from heel to toe; None where they were not counted."""
    counts = (sock.heel_rows, sock.foot_rounds, sock.toe_rows)
    if None in counts:
        return None
    heel, foot, toe = (float(count or 0) for count in counts)
    return heel / 2 + foot + toe / 2


def _loops(sock: FinishedGiven) -> float | None:
    """All its loops, wraps as their share of one; None where not all parts were counted, or it was
    not weighed."""
    if sock.mass_g is None:
        return None
    if sock.loops is not None:
        return float(sock.loops)
    counts = (sock.hem_rounds, sock.leg_rounds, sock.foot_rounds, sock.heel_rows, sock.toe_rows)
    if None in counts:
        return None
    hem, leg, foot, heel, toe = (float(count or 0) for count in counts)
    half = sock.needles / 2
    # A cup of r rows raises r / 2 needles of the half, one a row, and lowers them again.
    cups = sum(rows * (half - rows / 4 + WRAP_SHARE) for rows in (heel, toe))
    return sock.needles * (hem + leg + foot) + cups


def _key_of(sock: FinishedGiven, yarns: Mapping[str, Yarn], outfit: Outfit, target: _Key) -> _Key:
    cam = target.cam if sock.cam is None and sock.needles == target.needles else sock.cam
    stale = outfit.is_stale(sock.date)
    if sock.tex is None:
        tex = yarns[sock.yarn].tex.value
        return _Key(sock.yarn, tex, ForetoldGiven(), sock.needles, cam, stale)
    return _Key("", sock.tex, sock.foretold, sock.needles, cam, stale)


def readings(sock: FinishedGiven, fabric: int, number: int, tex: float) -> Iterator[SockReading]:
    """What a sock reads of the fabric in place `fabric`; `number` is its own, `tex` its yarn's."""
    ruler, balance = division(RULER_MM), division(BALANCE_G)
    plain_leg = sock.leg_fabric is Fabric.PLAIN
    found = []
    if (courses := courses_of(sock)) and sock.foot_length_mm:
        found.append(read_course(fabric, number, sock.foot_length_mm, courses, ruler))
    if sock.leg_length_mm and sock.leg_rounds and plain_leg:
        found.append(read_course(fabric, number, sock.leg_length_mm, sock.leg_rounds, ruler))
    widths = [sock.flat_width_mm, sock.leg_flat_width_mm if plain_leg else None]
    for width in widths:
        if width is not None:
            found.append(read_wale(fabric, number, width, sock.needles, ruler))
    if (loops := _loops(sock)) and sock.mass_g:
        found.append(read_loop(fabric, number, sock.mass_g, loops, tex, balance))
    return (replace(one, confirmed=sock.confirmed) for one in found)


def _fabrics(
    keys: Sequence[_Key],
    swatches: Sequence[SwatchGiven],
    yarns: Mapping[str, Yarn],
    outfit: Outfit,
    seen: SortedSwatches,
    belief: Belief,
) -> Fabrics:
    """All fabrics together, as their swatches leave them: those of one yarn by one belief."""
    beliefs: dict[tuple[str, float, ForetoldGiven], tuple[Belief, SortedSwatches]] = {}
    for key in keys:
        of_yarn = key.yarn, key.tex, key.foretold
        if key.yarn == MAIN:
            beliefs[of_yarn] = belief, seen
        elif of_yarn not in beliefs:
            beliefs[of_yarn] = _of_other_yarn(key, swatches, yarns, outfit)
    names = list(beliefs)
    wider = [_widened(keys, name, *beliefs[name]) for name in names]
    size, many = SIZES * len(keys), len(names)
    mean, cov = np.zeros(size + many), np.zeros((size + many, size + many))
    for number, (name, (known, rows, shifts)) in enumerate(zip(names, wider, strict=True)):
        places = [place for place, key in enumerate(keys) if name == _yarn_of(key)]
        at = [SIZES * place + part for place in places for part in range(SIZES)] + [size + number]
        mean[at] = rows @ known.mean + shifts
        cov[np.ix_(at, at)] = rows @ known.cov @ rows.T
    classes = [_class_of(key.tex) for key in keys]
    return Fabrics(
        mean,
        cov,
        np.array(classes, dtype=np.intp),
        np.array([names.index(_yarn_of(key)) for key in keys], dtype=np.intp),
        np.array([_before(keys, place) for place in range(len(keys))], dtype=np.intp),
    )


def _yarn_of(key: _Key) -> tuple[str, float, ForetoldGiven]:
    return key.yarn, key.tex, key.foretold


def _before(keys: Sequence[_Key], place: int) -> int:
    """The same fabric before the last service."""
    if keys[place].stale:
        return NONE
    before = replace(keys[place], stale=True)
    return keys.index(before) if before in keys else NONE


def _class_of(tex: float) -> int:
    """The class of a yarn so fine; the machine is always this one."""
    return tuple(YarnClass).index(yarn_class(tex))


def _of_other_yarn(
    key: _Key, swatches: Sequence[SwatchGiven], yarns: Mapping[str, Yarn], outfit: Outfit
) -> tuple[Belief, SortedSwatches]:
    """What is believed of the fabric of another yarn, on the cylinder and setting of a sock of it:
    by its own swatches, or by what was foretold of it."""
    tex = Estimate(key.tex, key.tex * fact("constants", "label_relative_sd").number, "tex")
    if key.yarn:
        tex = yarns[key.yarn].tex
    own = [replace(s, yarn=MAIN) for s in swatches if key.yarn and s.yarn == key.yarn]
    seen = sort_swatches(own, replace(outfit, tex=tex), key.needles)
    if key.cam is not None and seen.cam is None:
        seen = replace(seen, target=replace(seen.target, cam=key.cam))
    belief = believe(from_setting(seen.setting), seen.observations)
    return _foretold(belief, key.foretold), seen


def _foretold(belief: Belief, told: ForetoldGiven) -> Belief:
    """The belief with what was foretold of the fabric, as a swatch tells it."""
    sizes = {"wale": told.wale_mm, "course": told.course_mm, "loop": told.loop_mm}
    known = {name: size for name, size in sizes.items() if size is not None}
    if not known:
        return belief
    rows = np.array([belief.row({name: 1.0}) for name in known])
    values = np.array([log(size) for size in known.values()])
    sd = fact("learning", "foretold_relative_sd").number
    return update(belief, rows, values, np.full(len(values), sd))


def _widened(
    keys: Sequence[_Key],
    name: tuple[str, float, ForetoldGiven],
    belief: Belief,
    seen: SortedSwatches,
) -> tuple[Belief, Array, Array]:
    """The belief with the errors of every way to the fabrics of one yarn, the rows upon it that
    give ln wale, course and loop of each and then the fineness, and what is added to them."""
    mine = [key for key in keys if _yarn_of(key) == name]
    loop = exp(float(belief.row({"loop": 1.0}) @ belief.mean))
    ways = [_way(key, seen, loop) for key in mine]
    wider = belief.with_errors({e.name: e.sd for _, errors in ways for e, _ in errors})
    rows, shifts = [], []
    for shift, errors in ways:
        for size in NAMES:
            rows.append(wider.row({size: 1.0} | {e.name: times for e, times in errors}))
            shifts.append(shift)
    rows.append(wider.row({FINENESS: 1.0}))
    return wider, np.array(rows), np.array([*shifts, 0.0])


def _way(
    key: _Key, seen: SortedSwatches, loop_mm: float
) -> tuple[float, tuple[tuple[SharedError, float], ...]]:
    """From the fabric that a belief is of to that of a key: what to add to ln of its sizes, and
    the errors of that."""
    target = seen.target
    errors: tuple[tuple[SharedError, float], ...] = ()
    shift = 0.0
    if (key.needles, key.cam) != (target.needles, target.cam):
        # The same way back: a needle drawn as deep on the target's pitch gave its loop.
        back = replace(target, needles=key.needles, cam=key.cam)
        shift = back.way(target.needles, target.cam, loop_mm).shift
        errors = target.way(key.needles, key.cam, loop_mm * exp(shift)).errors
    if key.stale:
        service = SharedError(SERVICE, fact("gauge", "service_relative_sd").number)
        errors = (*errors, (service, 1.0))
    return shift, errors


def _after(belief: Belief, lesson: Lesson) -> Belief:
    """The belief with wale, course, loop and fineness as the lesson has them; what else is believed
    follows as far as it hangs on them."""
    size = SIZES + 1
    first, rest = slice(0, size), slice(size, None)
    slopes = np.linalg.solve(belief.cov[first, first], belief.cov[first, rest]).T
    mean, cov = belief.mean.copy(), belief.cov.copy()
    mean[rest] += slopes @ (lesson.mean - belief.mean[first])
    cov[rest, rest] += slopes @ (lesson.cov - belief.cov[first, first]) @ slopes.T
    mean[first], cov[first, first] = lesson.mean, lesson.cov
    cov[rest, first] = slopes @ lesson.cov
    cov[first, rest] = cov[rest, first].T
    return Belief(belief.names, mean, cov)


READ = {
    Component.WALE: _("its width"),
    Component.COURSE: _("its length"),
    Component.LOOP: _("its weight"),
}


def _notes(socks: Sequence[FinishedGiven], learned: Learned, stale: int) -> Iterator[Message]:
    for odd in learned.odd:
        yield _(
            "Sock '{sock}': {what} is far from what all other socks let expect. Was it pulled "
            "while measured, or knitted at another cam setting? Measure again, or confirm it; "
            "until then it counts for little.",
            sock=socks[odd.sock].name,
            what=READ[odd.component],
        )
    if stale:
        yield _(
            "{stale} of {socks} finished socks are from before the machine's last service and "
            "count for less.",
            stale=stale,
            socks=len(socks),
        )
