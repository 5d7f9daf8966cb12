"""The sentences of what is put on, hung, connected and set: ribber, weights, heel spring, cam."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.facts import fact
from sockwright.i18n import N_
from sockwright.needlebed.bed import FEWEST_APART, WORKING
from sockwright.needlebed.execute import Executed
from sockwright.wording.nouns import Terms


def mount(terms: Terms, step: op.Mount, done: Executed) -> str:
    """The ribber onto the machine, or off it."""
    return terms.render(
        "Put the ribber on, disconnected (pin out). Hang more weight, until the rib clears well."
        if step.on
        else "Take the ribber off, and the weight added for the rib."
    )


def ribber(terms: Terms, step: op.Ribber, done: Executed) -> str:
    """With the dial needle that knits next, or that is to have knitted."""
    at = done.before
    text = terms.render(
        "Connect the ribber (pin in). From here crank forward only."
        if step.on
        else "Disconnect the ribber (pin out); a dial needle with a loop keeps it."
    )
    ahead = {
        slot: (angle - at.gap - 0.5) % at.needles
        for slot, (angle, state) in enumerate(zip(done.run.program.dial, at.dial, strict=True), 1)
        if state == WORKING
    }
    if not ahead:
        return text
    if step.on:
        first = terms.slots((min(ahead, key=ahead.__getitem__),))
        return text + " " + terms.render("The needle in {slot} is the first to knit.", slot=first)
    last = terms.slots((max(ahead, key=ahead.__getitem__),))
    return (
        terms.render("See that the needle in {slot}, the last, has knitted.", slot=last)
        + " "
        + text
    )


def weigh(terms: Terms, step: op.Weigh, done: Executed) -> str:
    """The main weight or the heel weights on, or higher."""
    at = done.before
    if step.kind is op.Weight.MAIN:
        if at.main_weight:
            return terms.render("Move the main weight higher, clear of the floor.")
        usual = (fact("trade", name).number for name in ("main_weight", "main_weight_most"))
        least, most = map(terms.weight, usual)
        return terms.render(
            "Hang the main weight, the same as for the swatch (usually {least} to {most}, more "
            "for rib), pulling evenly and clear of the floor.",
            least=least,
            most=most,
        )
    low, high = at.span()
    if high - low + 1 < FEWEST_APART:
        return terms.render(
            "Move the heel weights higher, to about three rows below the needles in work, and "
            "together into the middle; none under a raised needle."
        )
    return terms.render(
        "Move the heel weights higher, to about three rows below the needles in work, and "
        "inward: in the middle, between {low} and between {high}, none under a raised needle."
        if at.heel_weight
        else (
            "Hang the heel weights about three rows below {needles}: in the middle, between "
            "{low} and between {high}."
        ),
        needles=terms.in_work(at),
        low=terms.needles_plain((low + 1, low + 2)),
        high=terms.needles_plain((high - 2, high - 1)),
    )


def unweigh(terms: Terms, step: op.Unweigh, done: Executed) -> str:
    """A weight off."""
    main = step.kind is op.Weight.MAIN
    return terms.render(
        "Take the main weight off; lay it on the floor or the table."
        if main
        else "Take the heel weights off."
    )


def spring(terms: Terms, step: op.HeelSpring, done: Executed) -> str:
    """The yarn into the heel spring, or out of it."""
    return terms.render(
        "Put the yarn through the heel spring."
        if step.on
        else "Take the yarn out of the heel spring."
    )


def set_cam(terms: Terms, step: op.SetCam, done: Executed) -> str:
    """The stitch cam to a setting, in the user's words and with what it does to a loop."""
    percent = round(abs(step.factor - 1) * 100)
    effect = terms.render("a loop is as long as in the swatch")
    if percent:
        longer = N_("a loop is about {percent} % longer than in the swatch")
        shorter = N_("a loop is about {percent} % shorter than in the swatch")
        effect = terms.render(longer if step.factor > 1 else shorter, percent=percent)
    if step.setting is not None:
        return terms.render(
            "Set the stitch cam to {setting}: {effect}.",
            setting=terms.cam(step.setting),
            effect=effect,
        )
    if not percent:
        return terms.render("Set the stitch cam as it was for the swatch: {effect}.", effect=effect)
    looser, firmer = N_("Loosen the stitch cam"), N_("Tighten the stitch cam")
    larger = N_("a larger setting makes a larger loop")
    smaller = N_("a larger setting makes a smaller loop")
    return terms.render(
        "{change} to the setting that you found beforehand on a test tube: {effect}. On this "
        "machine {direction}.",
        change=terms.render(looser if step.factor > done.before.factor else firmer),
        effect=effect,
        direction=terms.render(larger if terms.machine.cam.larger_is_looser else smaller),
    )
