"""What the stitch cam of a machine does, as its page shows it: plot, one reading, and what to knit.

Only words and pictures are made here; what is said is worked out in the workshop.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from sockwright.drawing.base.theme import Theme
from sockwright.drawing.curve.picture import (
    NARROW_MM,
    WIDE_MM,
    CurveView,
    curve_svg,
    setting_words,
)
from sockwright.i18n.messages import _, listed
from sockwright.measure.cam_points import YarnClass
from sockwright.order.model import Drape
from sockwright.store.items import ItemKind, Thing
from sockwright.web.context import RequestContext, address
from sockwright.workshop.cam_curves import CamAnswer, CamQuestion, ClassCurve, answer, of_machine
from sockwright.workshop.gauge_memory import Remembered

CLASSES = {
    YarnClass.FINE: _("fine yarn"),
    YarnClass.FINGERING: _("fingering yarn"),
    YarnClass.HEAVY: _("sport yarn and heavier"),
}
"""What a class of yarn is called."""

NUMBER = r"[0-9]{1,6}(?:[.,][0-9]{1,6})?"
"""A number in an address."""


@dataclass(frozen=True)
class CamPage:
    """A reading as the page of a machine shows it.

    `lead` is the reading in a sentence; `notes` what to know of it or to knit for it, `warnings`
    those that contradict it. `less` and `more` lead to the settings beside, "" at the ends.
    """

    answer: CamAnswer
    yarns: tuple[tuple[str, tuple[Thing, ...]], ...]
    wide: str
    narrow: str
    kind: str
    setting: str
    lead: str
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    drapes: tuple[tuple[str, str], ...]
    less: str
    more: str
    drawing: str


def curves_of(
    context: RequestContext, machine: Thing, memory: Sequence[Remembered]
) -> tuple[ClassCurve, ...]:
    """The curves of a machine from the memory of its gauge and its finished socks; none of other
    things."""
    if machine.kind is not ItemKind.MACHINE:
        return ()
    return of_machine(machine, memory, context.shop.sock_loops(machine.id))


def question_of(context: RequestContext) -> CamQuestion:
    """What the address asks for; what does not read is as if it were not there."""
    query = context.request.query_params
    needles, cam = query.get("needles", ""), query.get("cam", "")
    return CamQuestion(
        yarn=query.get("yarn", ""),
        needles=None if (count := _number(needles)) is None else int(count),
        cam=_number(cam),
    )


def _number(text: str) -> float | None:
    if not re.fullmatch(NUMBER, text):
        return None
    return float(text.replace(",", "."))


def cam_page(
    context: RequestContext, machine: Thing, memory: Sequence[Remembered]
) -> CamPage | None:
    """What the page of a machine shows; None where neither swatch nor sock tells anything."""
    curves = curves_of(context, machine, memory)
    told = answer(curves, question_of(context))
    if told is None:
        return None
    words = _Words(context, told)
    return CamPage(
        answer=told,
        yarns=tuple((CLASSES[one.yarn_class], one.yarns) for one in curves),
        wide=drawing(context, told, WIDE_MM),
        narrow=drawing(context, told, NARROW_MM),
        kind=CLASSES[told.of.yarn_class],
        setting=words.setting(told.at.cam),
        lead=words.lead(),
        notes=tuple(words.notes()),
        warnings=tuple(words.warnings()),
        drapes=tuple(words.drapes()),
        less=_leads_to(machine, told, told.before),
        more=_leads_to(machine, told, told.after),
        drawing=drawing_address(machine, told),
    )


def drawing(
    context: RequestContext, told: CamAnswer, width_mm: float, theme: Theme = Theme.PAGE
) -> str:
    """The plot of a reading."""
    of = told.of
    view = CurveView(
        of.curve,
        told.at.needles,
        told.at.pitch,
        of.machine.cam,
        told.at.cam,
        context.preferences.units,
    )
    return curve_svg(view, width_mm, theme, context.locale)


def _query(told: CamAnswer, cam: float) -> str:
    return urlencode({"yarn": told.yarn.id, "needles": told.at.needles, "cam": f"{cam:g}"})


def drawing_address(machine: Thing, told: CamAnswer) -> str:
    """Where a reading is drawn by itself."""
    return f"{address(machine)}/cam.svg?{_query(told, told.at.cam)}"


def _leads_to(machine: Thing, told: CamAnswer, cam: float | None) -> str:
    return "" if cam is None else f"{address(machine)}?{_query(told, cam)}#cam"


@dataclass(frozen=True)
class _Words:
    """The sentences about one reading."""

    context: RequestContext
    told: CamAnswer

    def setting(self, cam: float) -> str:
        return setting_words(cam, self.told.of.machine.cam, self.context.locale)

    def lead(self) -> str:
        """The reading, and the setting for a middle drape."""
        reading = self.told.at.loop
        known = {
            "setting": self.setting(reading.cam),
            "loop": self.context.formats.small_length(reading.loop),
        }
        middle = self.told.drapes.get(Drape.MIDDLE)
        if reading.beyond:
            return _("{setting}, as a guess: {loop}.", **known)
        if middle is None:
            return _("{setting}: {loop}.", **known)
        take = self.setting(middle.reading.cam)
        if middle.reading.beyond:
            return _(
                "{setting}: {loop}; a middle drape lies beyond what was knitted, near {take}.",
                **known,
                take=take,
            )
        return _("{setting}: {loop}; for a middle drape take {take}.", **known, take=take)

    def notes(self) -> Iterator[str]:
        """What to knit, and what the numbers rest on."""
        of, curve = self.told.of, self.told.of.curve
        if curve.one_setting:
            yield _(
                "One setting tells of no other: knit a swatch at {setting}, and the curve begins.",
                setting=self.setting(of.further),
            )
        elif not curve.tells_slope:
            yield _(
                "These swatches do not tell yet which way is looser: knit one at {setting}.",
                setting=self.setting(of.further),
            )
        if self.told.at.loop.beyond:
            low, high = self.setting(curve.least), self.setting(curve.most)
            yield _(
                "Knitted so far: {low} to {high}. Beyond that this is a guess: knit a swatch at "
                "{setting} before you rely on it.",
                low=low,
                high=high,
                setting=self.setting(self.told.at.cam),
            )
        if self.told.at.assumed_ring:
            yield _(
                "The diameter of the cylinder of {needles} is not noted: {diameter} is assumed.",
                needles=self.told.at.needles,
                diameter=self.context.formats.length(self.told.at.ring),
            )
        if of.without_setting:
            yield _("Left out, for want of a setting: {names}.", names=listed(of.without_setting))

    def warnings(self) -> Iterator[str]:
        """What contradicts the curve or makes it doubtful."""
        of = self.told.of
        if of.against_profile:
            looser = of.machine.cam.larger_is_looser
            yield (
                _(
                    "By these swatches a larger setting is tighter, but the machine's entry says "
                    "looser. Check the settings of the swatches, or change the entry."
                )
                if looser
                else _(
                    "By these swatches a larger setting is looser, but the machine's entry says "
                    "tighter. Check the settings of the swatches, or change the entry."
                )
            )
        if of.curve.outdated:
            yield _(
                "All of this was knitted before the last service, which may have moved every loop "
                "by {percent}: knit a swatch anew.",
                percent=self.context.formats.percent(of.service_share),
            )
        if of.odd:
            yield _(
                "Left out, because a loop must be longer than the distance of two needles: "
                "{names}. Check needles, diameter and yarn.",
                names=listed(of.odd),
            )

    def drapes(self) -> Iterator[tuple[str, str]]:
        """The settings for the drapes, by their words; those beyond what was knitted as guesses."""
        for drape, choice in self.told.drapes.items():
            setting = self.setting(choice.reading.cam)
            guess = _("{setting}, a guess", setting=setting)
            yield _(drape.value), guess if choice.reading.beyond else setting
