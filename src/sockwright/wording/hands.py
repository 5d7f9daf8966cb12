"""The sentences of single steps: what the hands do, without counting."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from sockwright import steps as op
from sockwright.facts import fact
from sockwright.needlebed.execute import Executed
from sockwright.needlebed.state import FEWEST_APART, WORKING
from sockwright.wording.nouns import Talk

CLEAR_AHEAD = 5
"""Needles ahead of the carrier from which on loops are hung (common practice: four or five)."""
USUAL_TAIL_MM = 150.0
"""A longer end than this is for something, and is said to be."""


def sentence(talk: Talk, done: Executed) -> str:
    """What to do for a step."""
    return SENTENCES[type(done.step)](talk, done.step, done)


def change_yarn(talk: Talk, cut: op.CutYarn, old: str | None, new: op.Thread) -> str:
    """Cutting one yarn and threading the next in one go."""
    names = {"old": talk.yarn(old), "new": talk.yarn(new.yarn)}
    key = "step.change_yarn_before_rows" if new.between else "step.change_yarn"
    return talk.say(key, tail=talk.length(cut.tail_mm), **names)


def hold_ends(talk: Talk, between: Sequence[int]) -> str:
    """Where the ends of two yarns are held until some rows are knitted."""
    return talk.say("step.hold_ends", needles=talk.needles_plain(sorted(between)))


def overlap(talk: Talk, needle: int) -> str:
    """The needle on which two yarns of the sock lie together."""
    return talk.say("step.overlap", needle=talk.needles_plain((needle,)))


def _fixed(key: str) -> Callable[[Talk, Any, Executed], str]:
    return lambda talk, step, done: talk.say(key)


def _hang_scrap(talk: Talk, step: op.HangScrap, done: Executed) -> str:
    return talk.say(
        "step.hang_scrap",
        needles=talk.in_work(done.before),
        first=talk.needles_plain((_clear_of_carrier(done),)),
        place=talk.place(done.before, full=True),
    )


def _thread(talk: Talk, step: op.Thread, done: Executed) -> str:
    if step.tail_mm > USUAL_TAIL_MM:
        tail = talk.length(step.tail_mm)
        return talk.say("step.thread_long", yarn=talk.yarn(step.yarn), tail=tail)
    return talk.say("step.thread", yarn=talk.yarn(step.yarn))


def _cut(talk: Talk, step: op.CutYarn, done: Executed) -> str:
    return talk.say("step.cut", yarn=talk.yarn(done.before.yarn), tail=talk.length(step.tail_mm))


def _raise(talk: Talk, step: op.Raise, done: Executed) -> str:
    return _with_working(talk, "step.raise", step.needles, done, joined=False)


def _lower(talk: Talk, step: op.Lower, done: Executed) -> str:
    return _with_working(talk, "step.lower", step.needles, done, joined=True)


def _with_working(
    talk: Talk, key: str, needles: Sequence[int], done: Executed, *, joined: bool
) -> str:
    moved = set(needles)
    working = [n for n in done.before.working() if n not in moved] + (
        list(needles) if joined else []
    )
    return talk.say(key, needles=talk.needles(needles), working=talk.needles_plain(working))


def _move(talk: Talk, step: op.MoveLoops, done: Executed) -> str:
    names = [(talk.needles_plain((a,)), talk.needles_plain((b,))) for a, b in _ends(step.moves)]
    sources = [source for source, _ in step.moves]
    if all(source - target == 1 for source, target in step.moves):
        pairs = talk.pairs(names, "pair.onto")
        text = talk.say("step.move_before", needles=talk.needles_plain(sources), pairs=pairs)
    else:
        named = [(talk.needles_plain((a,)), talk.needles_plain((b,))) for a, b in step.moves]
        pairs = talk.say("list.comma").join(talk.say("pair.onto", a=a, b=b) for a, b in named)
        text = talk.say("step.move", pairs=pairs)
    if step.eyelet:
        text += " " + talk.say("step.eyelet")
    return text


def _ends(moves: Sequence[tuple[int, int]]) -> Sequence[tuple[int, int]]:
    """The first and the last of some moves, for naming them all."""
    return moves if len(moves) < 2 else (moves[0], moves[-1])


def _remove(talk: Talk, step: op.RemoveNeedles, done: Executed) -> str:
    return talk.say("step.remove", needles=talk.needles_plain(step.needles))


def removed(talk: Talk, needles: Sequence[int]) -> str:
    """Taking out the needles whose loops were moved just before."""
    return talk.say("step.move_remove", needles=talk.needles_plain(needles))


def _replace(talk: Talk, step: op.ReplaceNeedles, done: Executed) -> str:
    return talk.say("step.replace", needles=talk.needles_plain(step.needles))


def _lift_bars(talk: Talk, step: op.LiftBars, done: Executed) -> str:
    return talk.say("step.lift_bars", needles=talk.needles_plain(step.needles))


def _hang_hem(talk: Talk, step: op.HangHem, done: Executed) -> str:
    yarn = talk.yarn(done.run.yarn_of(step.course))
    needles = talk.needles_plain(done.before.in_slots())
    if step.shift:
        return talk.say("step.hang_hem_moved", yarn=yarn, shift=step.shift, needles=needles)
    first = _clear_of_carrier(done)
    last = (first - 2) % done.before.needles + 1
    return talk.say(
        "step.hang_hem",
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
    return talk.say(
        "step.to_dial",
        needles=talk.needles_plain([needle for needle, _ in step.moves]),
        slots=talk.slots([slot for _, slot in step.moves]),
        pairs=talk.pairs(ends),
    )


def _fill_dial(talk: Talk, step: op.FillDial, done: Executed) -> str:
    return talk.say("step.fill_dial", slots=talk.slots(step.slots))


def _to_cylinder(talk: Talk, step: op.ToCylinder, done: Executed) -> str:
    ends = [(talk.slots((a,)), talk.needles_plain((b,))) for a, b in _ends(step.moves)]
    needles = sorted({needle for _, needle in step.moves})
    text = talk.say(
        "step.to_cylinder",
        slots=talk.slots([slot for slot, _ in step.moves]),
        needles=talk.needles_plain(needles),
        pairs=talk.pairs(ends),
    )
    if len(step.moves) == 2 * len(needles):
        text += " " + talk.say("step.two_to_each")
    return text


def _mount(talk: Talk, step: op.Mount, done: Executed) -> str:
    return talk.say("step.mount_on" if step.on else "step.mount_off")


def _ribber(talk: Talk, step: op.Ribber, done: Executed) -> str:
    """With the dial needle that knits next, or that is to have knitted."""
    at = done.before
    text = talk.say("step.ribber_on" if step.on else "step.ribber_off")
    ahead = {
        slot: (angle - at.gap - 0.5) % at.needles
        for slot, (angle, state) in enumerate(zip(done.run.program.dial, at.dial, strict=True), 1)
        if state == WORKING
    }
    if not ahead:
        return text
    if step.on:
        first = talk.slots((min(ahead, key=ahead.__getitem__),))
        return text + " " + talk.say("step.ribber_first", slot=first)
    last = talk.slots((max(ahead, key=ahead.__getitem__),))
    return talk.say("step.ribber_last", slot=last) + " " + text


def _weigh(talk: Talk, step: op.Weigh, done: Executed) -> str:
    at = done.before
    if step.kind is op.Weight.MAIN:
        if at.main_weight:
            return talk.say("step.weigh_main_higher")
        usual = (fact("trade", name).number for name in ("main_weight", "main_weight_most"))
        least, most = map(talk.weight, usual)
        return talk.say("step.weigh_main", least=least, most=most)
    low, high = at.span()
    if high - low + 1 < FEWEST_APART:
        return talk.say("step.weigh_heel_middle")
    return talk.say(
        "step.weigh_heel_higher" if at.heel_weight else "step.weigh_heel",
        needles=talk.in_work(at),
        low=talk.needles_plain((low + 1, low + 2)),
        high=talk.needles_plain((high - 2, high - 1)),
    )


def _unweigh(talk: Talk, step: op.Unweigh, done: Executed) -> str:
    main = step.kind is op.Weight.MAIN
    return talk.say("step.unweigh_main" if main else "step.unweigh_heel")


def _spring(talk: Talk, step: op.HeelSpring, done: Executed) -> str:
    return talk.say("step.spring_on" if step.on else "step.spring_off")


def _set_cam(talk: Talk, step: op.SetCam, done: Executed) -> str:
    percent = round(abs(step.factor - 1) * 100)
    way = "longer" if step.factor > 1 else "shorter"
    effect = talk.say(f"step.cam_{way}" if percent else "step.cam_same", percent=percent)
    if step.setting is not None:
        return talk.say("step.cam_set", setting=talk.cam(step.setting), effect=effect)
    if not percent:
        return talk.say("step.cam_as_swatch", effect=effect)
    larger = "looser" if talk.machine.cam.larger_is_looser else "firmer"
    change = "looser" if step.factor > done.before.factor else "firmer"
    return talk.say(
        "step.cam_found",
        change=talk.say(f"step.cam_{change}"),
        effect=effect,
        direction=talk.say(f"step.cam_larger_{larger}"),
    )


def _take_off(talk: Talk, step: op.TakeOff, done: Executed) -> str:
    return talk.say("step.take_off", needles=talk.in_work(done.before))


def _graft(talk: Talk, step: op.Graft, done: Executed) -> str:
    pairs = list(zip(step.a, step.b, strict=False))
    first, last = (
        talk.say("pair.to", a=talk.needles_plain((a,)), b=talk.needles_plain((b,)))
        for a, b in (pairs[0], pairs[-1])
    )
    said = talk.say(
        "step.graft",
        count=len(pairs),
        a=talk.needles_plain(step.a),
        b=talk.needles_plain(step.b),
        first=first,
        last=last,
    )
    if step.section is not op.Section.HEEL:
        return said
    # Two edges meet at each corner of an opening, with a gap between (common practice: close it).
    return f"{said} {talk.say('step.graft_corners')}"


def _gather(talk: Talk, step: op.Gather, done: Executed) -> str:
    working = done.before.working()
    return talk.say("step.gather", count=len(working), needles=talk.needles_plain(working))


def _bind_off(talk: Talk, step: op.BindOff, done: Executed) -> str:
    return talk.say("step.bind_off", yarn=talk.yarn(done.run.yarn_of(step.course)))


def _open_waste(talk: Talk, step: op.OpenWaste, done: Executed) -> str:
    return talk.say("step.open_waste", needles=talk.needles_plain(step.needles))


def _rehang(talk: Talk, step: op.Rehang, done: Executed) -> str:
    upper = list(zip(reversed(step.lower), step.upper, strict=False))
    text = talk.say(
        "step.rehang",
        lower_count=len(step.lower),
        upper_count=len(step.upper),
        lower_pairs=_rehang_pairs(talk, [(n, n) for n in step.lower]),
        upper_pairs=_rehang_pairs(talk, upper),
        place=talk.place(done.after),
    )
    hung = {*step.lower, *step.upper}
    others = [n for n in done.before.in_slots() if n not in hung]
    if not others:
        return text
    out = talk.say("step.rehang_others", needles=talk.needles_plain(others))
    return out + " " + text


def _rehang_pairs(talk: Talk, pairs: Sequence[tuple[int, int]]) -> str:
    said = [
        talk.say("step.rehang_pair", wale=wale, needle=talk.needles_plain((needle,)))
        for wale, needle in _ends(pairs)
    ]
    return said[0] if len(said) == 1 else talk.say("pair.run", first=said[0], last=said[1])


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
    op.Mount: _mount,
    op.Ribber: _ribber,
    op.Weigh: _weigh,
    op.Unweigh: _unweigh,
    op.HeelSpring: _spring,
    op.SetCam: _set_cam,
    op.TakeOff: _take_off,
    op.Graft: _graft,
    op.Gather: _gather,
    op.PullCord: _fixed("step.pull_cord"),
    op.BindOff: _bind_off,
    op.OpenWaste: _open_waste,
    op.Rehang: _rehang,
    op.Finish: _fixed("step.finish"),
}
