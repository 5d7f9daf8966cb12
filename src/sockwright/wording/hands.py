"""The sentences of single steps: what the hands do, without counting."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from sockwright import steps as op
from sockwright.needlebed.execute import Executed
from sockwright.wording import gear
from sockwright.wording.nouns import Talk
from sockwright.words import phrase

CLEAR_AHEAD = 5
"""Needles ahead of the carrier from which on loops are hung (common practice: four or five)."""
USUAL_TAIL_MM = 150.0
"""A longer end than this is for something, and is said to be."""
CORNERS = phrase(
    "Close the gap at each corner with the tail: catch a strand on either side and draw them "
    "together."
)


def sentence(talk: Talk, done: Executed) -> str:
    """What to do for a step."""
    return SENTENCES[type(done.step)](talk, done.step, done)


def change_yarn(talk: Talk, cut: op.CutYarn, old: str | None, new: op.Thread) -> str:
    """Cutting one yarn and threading the next in one go."""
    names = {"old": talk.yarn(old), "new": talk.yarn(new.yarn)}
    before_rows = phrase("Cut {old}, tail {tail}. Thread {new}.")
    usual = phrase("Cut {old}, tail {tail}. Thread {new}; both ends hang inside the tube.")
    return talk.tell(before_rows if new.between else usual, tail=talk.length(cut.tail_mm), **names)


def hold_ends(talk: Talk, between: Sequence[int]) -> str:
    """Where the ends of two yarns are held until some rows are knitted."""
    return talk.tell(
        "Lay both ends between {needles} to the inside of the tube and clip them together; "
        "the clip hangs there until four rows are knitted.",
        needles=talk.needles_plain(sorted(between)),
    )


def overlap(talk: Talk, needle: int) -> str:
    """The needle on which two yarns of the sock lie together."""
    return talk.tell(
        "Lay the old end into the hook of {needle}, the next to knit: there both yarns knit "
        "together.",
        needle=talk.needles_plain((needle,)),
    )


def _fixed(text: str) -> Callable[[Talk, Any, Executed], str]:
    return lambda talk, step, done: talk.tell(text)


def _hang_scrap(talk: Talk, step: op.HangScrap, done: Executed) -> str:
    return talk.tell(
        "Hang a set-up bonnet or scrap tube on {needles}, one loop on each, latches open. "
        "Begin with {first}, clear ahead of the carrier, and go on in the order of knitting. "
        "The last needles are held low by the cams: hold the work, crank forward slowly with "
        "the yarn, and hang each as it rises. Stop at home, past {needle}.",
        needles=talk.in_work(done.before),
        first=talk.needles_plain((_clear_of_carrier(done),)),
        needle=talk.passed(done.before),
    )


def _thread(talk: Talk, step: op.Thread, done: Executed) -> str:
    if step.tail_mm > USUAL_TAIL_MM:
        tail = talk.length(step.tail_mm)
        return talk.tell(
            "Thread {yarn}; an end of {tail} hangs inside the tube, to bind off the edge later.",
            yarn=talk.yarn(step.yarn),
            tail=tail,
        )
    return talk.tell("Thread {yarn}; the end hangs inside the tube.", yarn=talk.yarn(step.yarn))


def _cut(talk: Talk, step: op.CutYarn, done: Executed) -> str:
    return talk.tell(
        "Cut {yarn}, tail {tail}, and take it out of the carrier; the tail hangs inside the tube.",
        yarn=talk.yarn(done.before.yarn),
        tail=talk.length(step.tail_mm),
    )


def _raise(talk: Talk, step: op.Raise, done: Executed) -> str:
    return _with_working(
        talk,
        phrase("Raise {needles}; they keep their loops. In work now: {working}."),
        step.needles,
        done,
        joined=False,
    )


def _lower(talk: Talk, step: op.Lower, done: Executed) -> str:
    return _with_working(
        talk,
        phrase("Lower {needles}, latches open. In work now: {working}."),
        step.needles,
        done,
        joined=True,
    )


def _with_working(
    talk: Talk, text: str, needles: Sequence[int], done: Executed, *, joined: bool
) -> str:
    moved = set(needles)
    working = [n for n in done.before.working() if n not in moved] + (
        list(needles) if joined else []
    )
    return talk.tell(text, needles=talk.needles(needles), working=talk.needles_plain(working))


def _move(talk: Talk, step: op.MoveLoops, done: Executed) -> str:
    names = [(talk.needles_plain((a,)), talk.needles_plain((b,))) for a, b in _ends(step.moves)]
    sources = [source for source, _ in step.moves]
    if all(source - target == 1 for source, target in step.moves):
        pairs = talk.pairs(names, phrase("{a} onto {b}"))
        text = talk.tell(
            "Move the loop of {needles} onto the needle before it: {pairs}.",
            needles=talk.needles_plain(sources),
            pairs=pairs,
        )
    else:
        named = [(talk.needles_plain((a,)), talk.needles_plain((b,))) for a, b in step.moves]
        pairs = ", ".join(talk.tell("{a} onto {b}", a=a, b=b) for a, b in named)
        text = talk.tell("Move these loops: {pairs}.", pairs=pairs)
    if step.eyelet:
        text += " " + talk.tell(
            "The emptied needles stay in work. Crank the next round slowly and see that each "
            "takes the yarn: it makes a hole there."
        )
    return text


def _ends(moves: Sequence[tuple[int, int]]) -> Sequence[tuple[int, int]]:
    """The first and the last of some moves, for naming them all."""
    return moves if len(moves) < 2 else (moves[0], moves[-1])


def _remove(talk: Talk, step: op.RemoveNeedles, done: Executed) -> str:
    return talk.tell(
        "Take out what is empty, and keep it in order: {needles}.",
        needles=talk.needles_plain(step.needles),
    )


def removed(talk: Talk, needles: Sequence[int]) -> str:
    """Taking out the needles whose loops were moved just before."""
    return talk.tell(
        "Take out what is now empty, and keep it in order: {needles}.",
        needles=talk.needles_plain(needles),
    )


def _replace(talk: Talk, step: op.ReplaceNeedles, done: Executed) -> str:
    return talk.tell(
        "Put these needles in again, in work, latches open: {needles}.",
        needles=talk.needles_plain(step.needles),
    )


def _lift_bars(talk: Talk, step: op.LiftBars, done: Executed) -> str:
    return talk.tell(
        "Lift the strand that crosses below each empty needle onto it: {needles}.",
        needles=talk.needles_plain(step.needles),
    )


def _hang_hem(talk: Talk, step: op.HangHem, done: Executed) -> str:
    yarn = talk.yarn(done.run.yarn_of(step.course))
    needles = talk.needles_plain(done.before.in_slots())
    if step.shift:
        return talk.tell(
            "Hang the hem askew, as asked: the sinker bars (purl bumps on the inside) of the "
            "very first round in {yarn}, each onto the needle {shift} further on in the order of "
            "knitting, until {needles} carry two loops each.",
            yarn=yarn,
            shift=step.shift,
            needles=needles,
        )
    first = _clear_of_carrier(done)
    last = (first - 2) % done.before.needles + 1
    return talk.tell(
        "Hang the hem: the sinker bars (purl bumps on the inside) of the very first round in "
        "{yarn}. Begin with {first}: follow its wale straight below to its bar and lift that "
        "onto the same needle. Go on in the order of knitting, round to {last}, until "
        "{needles} carry two loops each. For needles held low by the cams crank forward a "
        "little, once those about to knit carry their bars. Crank the next round slowly: it "
        "closes the hem.",
        yarn=yarn,
        first=talk.needles_plain((first,)),
        last=talk.needles_plain((last,)),
        needles=needles,
    )


def _clear_of_carrier(done: Executed) -> int:
    """The first needle ahead of the carrier that its cams do not hold low."""
    at = done.before
    return (at.gap + CLEAR_AHEAD - 1) % at.needles + 1


def _to_dial(talk: Talk, step: op.ToDial, done: Executed) -> str:
    ends = [(talk.needles_plain((a,)), talk.slots((b,))) for a, b in _ends(step.moves)]
    return talk.tell(
        "Move the loops of {needles} onto dial needles in {slots}, in order: {pairs}. Take "
        "the emptied cylinder needles out, and keep them in order.",
        needles=talk.needles_plain([needle for needle, _ in step.moves]),
        slots=talk.slots([slot for _, slot in step.moves]),
        pairs=talk.pairs(ends),
    )


def _fill_dial(talk: Talk, step: op.FillDial, done: Executed) -> str:
    return talk.tell(
        "Put empty dial needles into {slots}, latches open. The next round only lays yarn "
        "into their hooks; the round after it knits it.",
        slots=talk.slots(step.slots),
    )


def _to_cylinder(talk: Talk, step: op.ToCylinder, done: Executed) -> str:
    ends = [(talk.slots((a,)), talk.needles_plain((b,))) for a, b in _ends(step.moves)]
    needles = sorted({needle for _, needle in step.moves})
    text = talk.tell(
        "Put in again the cylinder needles that are out, latches open: {needles}. Move onto "
        "them, in order, the loops in {slots}: {pairs}. Take the emptied dial needles out.",
        slots=talk.slots([slot for slot, _ in step.moves]),
        needles=talk.needles_plain(needles),
        pairs=talk.pairs(ends),
    )
    if len(step.moves) == 2 * len(needles):
        text += " " + talk.tell("Two dial loops go to each.")
    return text


def _take_off(talk: Talk, step: op.TakeOff, done: Executed) -> str:
    return talk.tell(
        "Take the main weight off, hold the work from below and crank forward without yarn "
        "until every loop is off {needles}. The waste holds the sock's loops.",
        needles=talk.in_work(done.before),
    )


def _graft(talk: Talk, step: op.Graft, done: Executed) -> str:
    pairs = list(zip(step.a, step.b, strict=False))
    first, last = (
        talk.tell("{a} to {b}", a=talk.needles_plain((a,)), b=talk.needles_plain((b,)))
        for a, b in (pairs[0], pairs[-1])
    )
    said = talk.tell(
        "Graft with the tail, loop for loop (Kitchener stitch), {count} pairs: {a} with {b}. "
        "First pair: {first}. Last pair: {last}. Then take the waste out.",
        count=len(pairs),
        a=talk.needles_plain(step.a),
        b=talk.needles_plain(step.b),
        first=first,
        last=last,
    )
    if step.section is not op.Section.HEEL:
        return said
    # Two edges meet at each corner of an opening, with a gap between (common practice: close it).
    return f"{said} {talk.tell(CORNERS)}"


def _gather(talk: Talk, step: op.Gather, done: Executed) -> str:
    working = done.before.working()
    return talk.tell(
        "Thread a darning needle with the tail, doubled. Draw it through every loop on the "
        "waste ({count} loops, of {needles}), take the waste out, draw the loops tight and "
        "fasten the end inside.",
        count=len(working),
        needles=talk.needles_plain(working),
    )


def _bind_off(talk: Talk, step: op.BindOff, done: Executed) -> str:
    return talk.tell(
        "Bind off the free edge by hand: every loop of the very first round in {yarn}, loosely "
        "enough to go over the heel.",
        yarn=talk.yarn(done.run.yarn_of(step.course)),
    )


def _open_waste(talk: Talk, step: op.OpenWaste, done: Executed) -> str:
    return talk.tell(
        "Draw out the waste rows over {needles}, a few wales at a time, and catch each loop, "
        "those of the leg and those of the foot, on a thread or spare needle as it comes "
        "free.",
        needles=talk.needles_plain(step.needles),
    )


def _rehang(talk: Talk, step: op.Rehang, done: Executed) -> str:
    upper = list(zip(reversed(step.lower), step.upper, strict=False))
    text = talk.tell(
        "Hang the opening on the cylinder, latches open, {lower_count} loops and "
        "{upper_count}. The side of the leg: {lower_pairs}. The side of the foot, by its "
        "bars, met from its far end: {upper_pairs}.",
        lower_count=len(step.lower),
        upper_count=len(step.upper),
        lower_pairs=_rehang_pairs(talk, [(n, n) for n in step.lower]),
        upper_pairs=_rehang_pairs(talk, upper),
    )
    text = f"{text} {talk.carrier(done.after)}"
    hung = {*step.lower, *step.upper}
    others = [n for n in done.before.in_slots() if n not in hung]
    if not others:
        return text
    out = talk.tell(
        "Take {needles} out: empty needles would catch the yarn.",
        needles=talk.needles_plain(others),
    )
    return out + " " + text


def _rehang_pairs(talk: Talk, pairs: Sequence[tuple[int, int]]) -> str:
    said = [
        talk.tell(
            "the loop of wale {wale} on {needle}", wale=wale, needle=talk.needles_plain((needle,))
        )
        for wale, needle in _ends(pairs)
    ]
    return (
        said[0]
        if len(said) == 1
        else talk.tell("{first}, and so on to {last}", first=said[0], last=said[1])
    )


SENTENCES: dict[type[op.Step], Callable[[Talk, Any, Executed], str]] = {
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
        phrase("Pull the ravel cord out by one end: the set-up comes away from the sock.")
    ),
    op.BindOff: _bind_off,
    op.OpenWaste: _open_waste,
    op.Rehang: _rehang,
    op.Finish: _fixed(
        phrase("Darn in every end on the inside. Wash as in use; dry on a blocker or flat.")
    ),
}
