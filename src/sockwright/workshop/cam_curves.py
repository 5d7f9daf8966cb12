"""What the stitch cam of a kept machine does: a curve for each class of yarn, and one reading."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from math import floor, pi, sqrt

from sqlalchemy.orm import Session

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.grammar.bounds import limits
from sockwright.grammar.declare import Place
from sockwright.machine import Machine
from sockwright.measure.belief import pitch_of
from sockwright.measure.cam_curve import CamChoice, CamCurve, CamReading, fit_curve
from sockwright.measure.cam_points import CurvePoint, PointKind, YarnClass, yarn_class
from sockwright.measure.yarn import drape_tightness, yarn_from
from sockwright.once import Memory
from sockwright.order.model import Drape, YarnGiven
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.gauge_memory import Remembered, remember
from sockwright.workshop.kinds import TYPES
from sockwright.workshop.sock_loops import SockLoop

MOST_SETTINGS = 60
"""A cam of more settings than that is looked at in larger steps."""

LEAST_SETTINGS = 2
"""One setting tells of no other."""

FURTHER_STEPS = 2
"""A second swatch at the next setting but one shows what the cam does, and is still a fabric."""


@dataclass(frozen=True)
class CylinderReading:
    """What a curve says of a setting on a cylinder: the loop, how much one unit of the setting
    changes its logarithm, and the washed tube, mm, where a wale was measured."""

    needles: int
    pitch: Estimate
    loop: CamReading
    slope: Estimate
    girth: Estimate | None

    @property
    def cam(self) -> float:
        """The setting."""
        return self.loop.cam

    @property
    def ring(self) -> Estimate:
        """The diameter of the needle ring that the pitch stands for, mm."""
        size = self.needles / pi
        return Estimate(self.pitch.value * size, self.pitch.sd * size, "mm")

    @property
    def assumed_ring(self) -> bool:
        """Whether the diameter is not known."""
        return self.pitch.sd > 0


@dataclass(frozen=True, eq=False)
class ClassCurve:
    """The curve of one machine for one class of yarn.

    `swatches` are all that were knitted of it there and have a setting, `without_setting` and
    `odd` the names of those that tell nothing: for want of a setting, or with a loop that is no
    longer than the pitch. `socks` are the finished ones that were weighed, and have a setting.
    """

    yarn_class: YarnClass
    machine: Machine
    curve: CamCurve
    swatches: tuple[Remembered, ...]
    without_setting: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()
    socks: tuple[SockLoop, ...] = ()

    @property
    def knitted(self) -> tuple[Remembered | SockLoop, ...]:
        """Its swatches and finished socks."""
        return *self.swatches, *self.socks

    @property
    def yarns(self) -> tuple[Thing, ...]:
        """The yarns of its swatches and socks, each once, by name."""
        every = {one.yarn.id: one.yarn for one in self.knitted}
        return tuple(sorted(every.values(), key=lambda yarn: (yarn.name, yarn.id)))

    @property
    def needles(self) -> tuple[int, ...]:
        """The cylinders to read it on: the machine's, and others that were knitted on."""
        own = {one.needles for one in self.machine.cylinders}
        return tuple(sorted(own | {one.needles for one in self.knitted}))

    @property
    def against_profile(self) -> bool:
        """Whether the swatches tell the other way round from the machine's page which settings are
        looser."""
        looser = self.curve.drop_a_unit.value > 0
        return self.curve.tells_slope and looser is not self.machine.cam.larger_is_looser

    @property
    def service_share(self) -> float:
        """How far a service may have moved every loop, as a share of it."""
        return fact("gauge", "service_relative_sd").number

    @property
    def further(self) -> float:
        """The setting whose swatch would tell most: some steps looser than all so far."""
        curve = self.curve
        far = FURTHER_STEPS * curve.step
        if self.machine.cam.larger_is_looser or curve.least < far:
            return curve.most + far
        return curve.least - far

    def settings(self) -> tuple[float, ...]:
        """The settings worth looking at, by the cam's step, or by some steps where they are many;
        of a single one only that."""
        curve = self.curve
        if curve.one_setting:
            return (curve.least,)
        first, last = curve.span
        steps = floor((last - first) / curve.step + 1e-6)
        stride = -(-steps // MOST_SETTINGS)
        every = {first + step * curve.step for step in range(0, steps + 1, stride)}
        knitted = (one.cam for one in curve.points if one.drop is not None)
        return tuple(sorted({round(one, 6) for one in (*every, *knitted)}))

    def at(self, needles: int, cam: float) -> CylinderReading:
        """The reading at a setting on a cylinder."""
        pitch = pitch_of(self.machine, needles)
        wale = self.curve.wale(cam, pitch)
        girth = None if wale is None else Estimate(needles * wale.value, needles * wale.sd, "mm")
        loop, slope = self.curve.reading(cam, pitch), self.curve.slope(cam, pitch)
        return CylinderReading(needles, pitch, loop, slope, girth)

    def readings(self) -> Iterator[CylinderReading]:
        """The readings of every cylinder at every setting worth looking at."""
        return (self.at(needles, cam) for needles in self.needles for cam in self.settings())


@dataclass(frozen=True)
class CamQuestion:
    """What is asked of a machine's curves: yarn, needles and setting, each where it was chosen."""

    yarn: str = ""
    needles: int | None = None
    cam: float | None = None


@dataclass(frozen=True, eq=False)
class CamAnswer:
    """One reading of a curve for a yarn, and the yarn's tightness there.

    `drapes` has the setting for each drape that the curve tells; `before` and `after` are the
    neighbouring settings, None at the ends.
    """

    of: ClassCurve
    yarn: Thing
    at: CylinderReading
    tightness: Estimate
    drapes: dict[Drape, CamChoice]
    before: float | None = None
    after: float | None = None


def of_machine(
    machine: Thing, memory: Sequence[Remembered], socks: Sequence[SockLoop] = ()
) -> tuple[ClassCurve, ...]:
    """The curves of a machine from the memory of its gauge and its finished socks, by class of
    yarn; none of a class that nothing tells of."""
    profile = TYPES[ItemKind.MACHINE].grammar.read(machine.document, Place("", []))
    if not isinstance(profile, Machine):
        return ()
    every = [_of_class(one, profile, memory, socks) for one in YarnClass]
    return tuple(one for one in every if one is not None)


def _of_class(
    of: YarnClass, machine: Machine, memory: Sequence[Remembered], socks: Sequence[SockLoop]
) -> ClassCurve | None:
    told = [one for one in memory if one.readings and yarn_class(one.tex.value) is of]
    placed = [one for one in told if one.cam is not None]
    own = tuple(one for one in socks if yarn_class(one.tex.value) is of)
    points = [*(_point(one, machine) for one in placed), *(_of_sock(one, machine) for one in own)]
    curve = fit_curve(points, machine.cam.step)
    if curve is None:
        return None
    without = tuple(one.swatch.name for one in told if one.cam is None)
    odd = tuple(point.name for point in points if point.drop is None)
    return ClassCurve(of, machine, curve, tuple(placed), without, odd, own)


def _point(one: Remembered, machine: Machine) -> CurvePoint:
    assert one.cam is not None
    return CurvePoint(
        name=one.swatch.name,
        needles=one.needles,
        pitch=pitch_of(machine, one.needles),
        cam=one.cam,
        loop=one.loop,
        stale=bool(one.stale),
        wale=one.wale if one.plain else None,
        pull=one.pull,
    )


def _of_sock(one: SockLoop, machine: Machine) -> CurvePoint:
    return CurvePoint(
        name=one.name,
        needles=one.needles,
        pitch=pitch_of(machine, one.needles),
        cam=one.cam,
        loop=one.loop,
        kind=PointKind.SOCK,
        stale=one.stale,
        wale=one.wale,
    )


def answer(curves: Sequence[ClassCurve], question: CamQuestion) -> CamAnswer | None:
    """The reading that was asked for; what was not chosen is that of what was knitted last of the
    curve that tells most. None of a machine without a curve."""
    if not curves:
        return None
    asked = next((one for one in curves if question.yarn in _ids(one)), None)
    of = asked or max(curves, key=_tells)
    known = [one for one in of.knitted if not asked or one.yarn.id == question.yarn]
    newest = max(known, key=lambda one: (not one.stale, one.date))
    needles = next((one for one in of.needles if one == question.needles), newest.needles)
    return read(of, newest, needles, _setting(of, question.cam, newest))


def read(of: ClassCurve, like: Remembered | SockLoop, needles: int, cam: float) -> CamAnswer:
    """The reading at a setting on a cylinder, for the yarn of a swatch."""
    at, settings = of.at(needles, cam), of.settings()
    choices = {
        drape: of.curve.setting_for_tightness(drape_tightness(drape), like.tex.value, at.pitch)
        for drape in Drape
    }
    return CamAnswer(
        of=of,
        yarn=like.yarn,
        at=at,
        tightness=_tightness(like.tex, at.loop.loop),
        drapes={drape: choice for drape, choice in choices.items() if choice is not None},
        before=max((one for one in settings if one < cam), default=None),
        after=min((one for one in settings if one > cam), default=None),
    )


def _tightness(tex: Estimate, loop: Estimate) -> Estimate:
    value = sqrt(tex.value) / loop.value
    relative = sqrt((tex.sd / tex.value / 2) ** 2 + (loop.sd / loop.value) ** 2)
    return Estimate(value, value * relative, "tex^0.5/mm")


def _setting(of: ClassCurve, asked: float | None, newest: Remembered | SockLoop) -> float:
    """The setting nearest to what was asked for, of those worth looking at."""
    assert newest.cam is not None
    wanted = newest.cam if asked is None else asked
    return min(of.settings(), key=lambda one: (abs(one - wanted), one))


def _ids(of: ClassCurve) -> set[str]:
    return {yarn.id for yarn in of.yarns}


def _tells(of: ClassCurve) -> tuple[bool, int, int]:
    """How much a curve tells: something newer than the last service, then settings and swatches."""
    settings = Counter(one.cam for one in of.curve.counted)
    return not of.curve.outdated, len(settings), len(of.curve.counted)


_SLOPES: Memory[dict[str, float]] = Memory(64)
"""What curves tell of one setting more: swatches seldom change."""


def slope_by_others(
    session: Session, machine: Thing, main: Thing, chosen: Sequence[Thing]
) -> dict[str, float]:
    """The table [machine.cam_slope] of an order: what the machine's swatches of such yarn tell of
    one setting more, without those `chosen` for the order, which tell it themselves; empty where
    they do not tell it."""
    taken = {swatch.id for swatch in chosen}
    others = [
        swatch
        for swatch in kept.listed(session, ItemKind.SWATCH, machine_id=machine.id)
        if swatch.id not in taken and "cam" in swatch.document
    ]
    if len({str(swatch.document["cam"]) for swatch in others}) < LEAST_SETTINGS:
        return {}
    key = tuple((one.id, one.version) for one in (machine, main, *others))
    return _SLOPES.of(key, lambda: _slope(session, machine, main, {one.id for one in others}))


def _slope(session: Session, machine: Thing, main: Thing, others: set[str]) -> dict[str, float]:
    given = TYPES[ItemKind.YARN].grammar.read(main.document, Place("", []))
    if not isinstance(given, YarnGiven):
        return {}
    of = yarn_class(yarn_from(given).tex.value)
    every = remember(session, date.max, machine.id)
    memory = [one for one in every if one.swatch.id in others]
    curve = next((one for one in of_machine(machine, memory) if one.yarn_class is of), None)
    if curve is None or not curve.curve.tells_slope:
        return {}
    middle = curve.at(curve.needles[0], curve.curve.middle)
    change, sd = round(middle.slope.value, 5), round(middle.slope.sd, 5)
    reach, spread = limits("cam_slope"), limits("cam_slope_sd")
    return {"change": change, "sd": sd} if reach.holds(change) and spread.holds(sd) else {}
