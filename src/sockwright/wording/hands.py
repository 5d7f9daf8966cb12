"""The sentences of single steps: what the hands do, without counting."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from sockwright import steps as op
from sockwright.i18n import N_
from sockwright.needlebed.execute import Executed
from sockwright.wording import gear
from sockwright.wording.nouns import Terms

CLEAR_AHEAD = 5
"""Needles ahead of the carrier from which on loops are hung (common practice: four or five)."""
USUAL_TAIL_MM = 150.0
"""A longer end than this is for something, and is said to be."""
CORNERS = N_(
    "Close the gap at each corner with the tail: catch a strand on either side and draw them "
    "together."
)


def sentence(terms: Terms, done: Executed) -> str:
    """What to do for a step."""
    return SENTENCES[type(done.step)](terms, done.step, done)


def change_yarn(terms: Terms, cut: op.CutYarn, old: str | None, new: op.Thread) -> str:
    """Cutting one yarn and threading the next in one go."""
    names = {"old": terms.yarn(old), "new": terms.yarn(new.yarn)}
    before_rows = N_("Cut {old}, tail {tail}. Thread {new}.")
    usual = N_("Cut {old}, tail {tail}. Thread {new}; both ends hang inside the tube.")
    return terms.render(
        before_rows if new.between else usual, tail=terms.length(cut.tail_mm), **names
    )


def hold_ends(terms: Terms, between: Sequence[int]) -> str:
    """Where the ends of two yarns are held until some rows are knitted."""
    return terms.render(
        "Lay both ends between {needles} to the inside of the tube and clip them together; "
        "the clip hangs there until four rows are knitted.",
        needles=terms.needles_plain(sorted(between)),
    )


def overlap(terms: Terms, needle: int) -> str:
    """The needle on which two yarns of the sock lie together."""
    return terms.render(
        "Lay the old end into the hook of {needle}, the next to knit: there both yarns knit "
        "together.",
        needle=terms.needles_plain((needle,)),
    )


def _fixed(text: str) -> Callable[[Terms, Any, Executed], str]:
    return lambda terms, step, done: terms.render(text)


def _hang_scrap(terms: Terms, step: op.HangScrap, done: Executed) -> str:
    return terms.render(
        "Hang a set-up bonnet or scrap tube on {needles}, one loop on each, latches open. "
        "Begin with {first}, clear ahead of the carrier, and go on in the order of knitting. "
        "The last needles are held low by the cams: hold the work, crank forward slowly with "
        "the yarn, and hang each as it rises. Stop at home, past {needle}.",
        needles=terms.in_work(done.before),
        first=terms.needles_plain((_clear_of_carrier(done),)),
        needle=terms.passed(done.before),
    )


def _thread(terms: Terms, step: op.Thread, done: Executed) -> str:
    if step.tail_mm > USUAL_TAIL_MM:
        tail = terms.length(step.tail_mm)
        return terms.render(
            "Thread {yarn}; an end of {tail} hangs inside the tube, to bind off the edge later.",
            yarn=terms.yarn(step.yarn),
            tail=tail,
        )
    return terms.render("Thread {yarn}; the end hangs inside the tube.", yarn=terms.yarn(step.yarn))


def _cut(terms: Terms, step: op.CutYarn, done: Executed) -> str:
    return terms.render(
        "Cut {yarn}, tail {tail}, and take it out of the carrier; the tail hangs inside the tube.",
        yarn=terms.yarn(done.before.yarn),
        tail=terms.length(step.tail_mm),
    )


def _raise(terms: Terms, step: op.Raise, done: Executed) -> str:
    return _with_working(
        terms,
        N_("Raise {needles}; they keep their loops. In work now: {working}."),
        step.needles,
        done,
        joined=False,
    )


def _lower(terms: Terms, step: op.Lower, done: Executed) -> str:
    return _with_working(
        terms,
        N_("Lower {needles}, latches open. In work now: {working}."),
        step.needles,
        done,
        joined=True,
    )


def _with_working(
    terms: Terms, text: str, needles: Sequence[int], done: Executed, *, joined: bool
) -> str:
    moved = set(needles)
    working = [n for n in done.before.working() if n not in moved] + (
        list(needles) if joined else []
    )
    return terms.render(text, needles=terms.needles(needles), working=terms.needles_plain(working))


def _move(terms: Terms, step: op.MoveLoops, done: Executed) -> str:
    names = [(terms.needles_plain((a,)), terms.needles_plain((b,))) for a, b in _ends(step.moves)]
    sources = [source for source, _ in step.moves]
    if all(source - target == 1 for source, target in step.moves):
        pairs = terms.pairs(names, N_("{a} onto {b}"))
        text = terms.render(
            "Move the loop of {needles} onto the needle before it: {pairs}.",
            needles=terms.needles_plain(sources),
            pairs=pairs,
        )
    else:
        named = [(terms.needles_plain((a,)), terms.needles_plain((b,))) for a, b in step.moves]
        pairs = ", ".join(terms.render("{a} onto {b}", a=a, b=b) for a, b in named)
        text = terms.render("Move these loops: {pairs}.", pairs=pairs)
    if step.eyelet:
        text += " " + terms.render(
            "The emptied needles stay in work. Crank the next round slowly and see that each "
            "takes the yarn: it makes a hole there."
        )
    return text


def _ends(moves: Sequence[tuple[int, int]]) -> Sequence[tuple[int, int]]:
    """The first and the last of some moves, for naming them all."""
    return moves if len(moves) < 2 else (moves[0], moves[-1])


def _remove(terms: Terms, step: op.RemoveNeedles, done: Executed) -> str:
    return terms.render(
        "Take out what is empty, and keep it in order: {needles}.",
        needles=terms.needles_plain(step.needles),
    )


def removed(terms: Terms, needles: Sequence[int]) -> str:
    """Taking out the needles whose loops were moved just before."""
    return terms.render(
        "Take out what is now empty, and keep it in order: {needles}.",
        needles=terms.needles_plain(needles),
    )


def _replace(terms: Terms, step: op.ReplaceNeedles, done: Executed) -> str:
    return terms.render(
        "Put these needles in again, in work, latches open: {needles}.",
        needles=terms.needles_plain(step.needles),
    )


def _lift_bars(terms: Terms, step: op.LiftBars, done: Executed) -> str:
    return terms.render(
        "Lift the strand that crosses below each empty needle onto it: {needles}.",
        needles=terms.needles_plain(step.needles),
    )


def _hang_hem(terms: Terms, step: op.HangHem, done: Executed) -> str:
    yarn = terms.yarn(done.run.yarn_of(step.course))
    needles = terms.needles_plain(done.before.in_slots())
    if step.shift:
        return terms.render(
            "Hang the hem askew, as asked: the sinker bars (purl bumps on the inside) of the "
            "very first round in {yarn}, each onto the needle {shift} further on in the order of "
            "knitting, until {needles} carry two loops each.",
            yarn=yarn,
            shift=step.shift,
            needles=needles,
        )
    first = _clear_of_carrier(done)
    last = (first - 2) % done.before.needles + 1
    return terms.render(
        "Hang the hem: the sinker bars (purl bumps on the inside) of the very first round in "
        "{yarn}. Begin with {first}: follow its wale straight below to its bar and lift that "
        "onto the same needle. Go on in the order of knitting, round to {last}, until "
        "{needles} carry two loops each. For needles held low by the cams crank forward a "
        "little, once those about to knit carry their bars. Crank the next round slowly: it "
        "closes the hem.",
        yarn=yarn,
        first=terms.needles_plain((first,)),
        last=terms.needles_plain((last,)),
        needles=needles,
    )


def _clear_of_carrier(done: Executed) -> int:
    """The first needle ahead of the carrier that its cams do not hold low."""
    at = done.before
    return (at.gap + CLEAR_AHEAD - 1) % at.needles + 1


def _to_dial(terms: Terms, step: op.ToDial, done: Executed) -> str:
    ends = [(terms.needles_plain((a,)), terms.slots((b,))) for a, b in _ends(step.moves)]
    return terms.render(
        "Move the loops of {needles} onto dial needles in {slots}, in order: {pairs}. Take "
        "the emptied cylinder needles out, and keep them in order.",
        needles=terms.needles_plain([needle for needle, _ in step.moves]),
        slots=terms.slots([slot for _, slot in step.moves]),
        pairs=terms.pairs(ends),
    )


def _fill_dial(terms: Terms, step: op.FillDial, done: Executed) -> str:
    return terms.render(
        "Put empty dial needles into {slots}, latches open. The next round only lays yarn "
        "into their hooks; the round after it knits it.",
        slots=terms.slots(step.slots),
    )


def _to_cylinder(terms: Terms, step: op.ToCylinder, done: Executed) -> str:
    ends = [(terms.slots((a,)), terms.needles_plain((b,))) for a, b in _ends(step.moves)]
    needles = sorted({needle for _, needle in step.moves})
    text = terms.render(
        "Put in again the cylinder needles that are out, latches open: {needles}. Move onto "
        "them, in order, the loops in {slots}: {pairs}. Take the emptied dial needles out.",
        slots=terms.slots([slot for slot, _ in step.moves]),
        needles=terms.needles_plain(needles),
        pairs=terms.pairs(ends),
    )
    if len(step.moves) == 2 * len(needles):
        text += " " + terms.render("Two dial loops go to each.")
    return text


def _take_off(terms: Terms, step: op.TakeOff, done: Executed) -> str:
    return terms.render(
        "Take the main weight off, hold the work from below and crank forward without yarn "
        "until every loop is off {needles}. The waste holds the sock's loops.",
        needles=terms.in_work(done.before),
    )


def _graft(terms: Terms, step: op.Graft, done: Executed) -> str:
    pairs = list(zip(step.a, step.b, strict=False))
    first, last = (
        terms.render("{a} to {b}", a=terms.needles_plain((a,)), b=terms.needles_plain((b,)))
        for a, b in (pairs[0], pairs[-1])
    )
    said = terms.render(
        "Graft with the tail, loop for loop (Kitchener stitch), {count} pairs: {a} with {b}. "
        "First pair: {first}. Last pair: {last}. Then take the waste out.",
        count=len(pairs),
        a=terms.needles_plain(step.a),
        b=terms.needles_plain(step.b),
        first=first,
        last=last,
    )
    if step.section is not op.Section.HEEL:
        return said
    # Two edges meet at each corner of an opening, with a gap between (common practice: close it).
    return f"{said} {terms.render(CORNERS)}"


def _gather(terms: Terms, step: op.Gather, done: Executed) -> str:
    working = done.before.working()
    return terms.render(
        "Thread a darning needle with the tail, doubled. Draw it through every loop on the "
        "waste ({count} loops, of {needles}), take the waste out, draw the loops tight and "
        "fasten the end inside.",
        count=len(working),
        needles=terms.needles_plain(working),
    )


def _bind_off(terms: Terms, step: op.BindOff, done: Executed) -> str:
    return terms.render(
        "Bind off the free edge by hand: every loop of the very first round in {yarn}, loosely "
        "enough to go over the heel.",
        yarn=terms.yarn(done.run.yarn_of(step.course)),
    )


def _open_waste(terms: Terms, step: op.OpenWaste, done: Executed) -> str:
    return terms.render(
        "Draw out the waste rows over {needles}, a few wales at a time, and catch each loop, "
        "those of the leg and those of the foot, on a thread or spare needle as it comes "
        "free.",
        needles=terms.needles_plain(step.needles),
    )


def _rehang(terms: Terms, step: op.Rehang, done: Executed) -> str:
    upper = list(zip(reversed(step.lower), step.upper, strict=False))
    text = terms.render(
        "Hang the opening on the cylinder, latches open, {lower_count} loops and "
        "{upper_count}. The side of the leg: {lower_pairs}. The side of the foot, by its "
        "bars, met from its far end: {upper_pairs}.",
        lower_count=len(step.lower),
        upper_count=len(step.upper),
        lower_pairs=_rehang_pairs(terms, [(n, n) for n in step.lower]),
        upper_pairs=_rehang_pairs(terms, upper),
    )
    text = f"{text} {terms.carrier(done.after)}"
    hung = {*step.lower, *step.upper}
    others = [n for n in done.before.in_slots() if n not in hung]
    if not others:
        return text
    out = terms.render(
        "Take {needles} out: empty needles would catch the yarn.",
        needles=terms.needles_plain(others),
    )
    return out + " " + text


def _rehang_pairs(terms: Terms, pairs: Sequence[tuple[int, int]]) -> str:
    said = [
        terms.render(
            "the loop of wale {wale} on {needle}", wale=wale, needle=terms.needles_plain((needle,))
        )
        for wale, needle in _ends(pairs)
    ]
    return (
        said[0]
        if len(said) == 1
        else terms.render("{first}, and so on to {last}", first=said[0], last=said[1])
    )


SENTENCES: dict[type[op.Step], Callable[[Terms, Any, Executed], str]] = {
    op.HangScrap: _hang_scrap,
    op.Thread: _thread,
    op.CutYarn: _cut,
    op.Raise: _raise,
    op.Lower: _lower,
    op.MoveLoops: _move,
    op.RemoveNeedles: _remove,
    op.ReplaceNeedles: _replace,
    op.LiftBars: _lift_bars,
    op.HangHem: _hang_hem,
    op.ToDial: _to_dial,
    op.FillDial: _fill_dial,
    op.ToCylinder: _to_cylinder,
    op.Mount: gear.mount,
    op.Ribber: gear.ribber,
    op.Weigh: gear.weigh,
    op.Unweigh: gear.unweigh,
    op.HeelSpring: gear.spring,
    op.SetCam: gear.set_cam,
    op.TakeOff: _take_off,
    op.Graft: _graft,
    op.Gather: _gather,
    op.PullCord: _fixed(
        N_("Pull the ravel cord out by one end: the set-up comes away from the sock.")
    ),
    op.BindOff: _bind_off,
    op.OpenWaste: _open_waste,
    op.Rehang: _rehang,
    op.Finish: _fixed(
        N_("Darn in every end on the inside. Wash as in use; dry on a blocker or flat.")
    ),
}
