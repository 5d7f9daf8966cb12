"""All that the page at the machine needs to know of one sock, as compact data.

Each text stands once, with its instruction; what changes from count to count is a row of numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any

from sockwright.bench.counting import NeedleTouch, Sock, sock_of
from sockwright.bench.follow import Following, asides
from sockwright.bench.log import FIRST, SECOND
from sockwright.bench.mishaps import heel_needles, mishaps, stages, standing_data, turns_of_advice
from sockwright.bench.page_texts import page_words
from sockwright.drawing.base.places import limits_of_program, place_marks
from sockwright.drawing.base.theme import UNKNOWN_YARN, paint
from sockwright.facts import fact
from sockwright.i18n import ENGLISH, Locale, _, sentence
from sockwright.i18n.locale import Amount, Sentence
from sockwright.i18n.messages import capital
from sockwright.machine import Direction
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan
from sockwright.plan.short_yarn import short_words
from sockwright.program.draft import CORD, WASTE
from sockwright.steps import Rounds
from sockwright.wording.instructions import Instruction
from sockwright.wording.nouns import YARNS
from sockwright.wording.write import cautions, conventions

Data = dict[str, Any]

VERSION = 3
"""Of this form of the data: a page that keeps another asks for it anew."""

COUNT_STEP_COLUMNS = (
    "instruction",
    "count",
    "before",
    "bed",
    "gap_before",
    "gap",
    "passed",
    "used_mm",
    "length_mm",
)
INSTRUCTION_COLUMNS = (
    "section",
    "kind",
    "beats",
    "of",
    "way",
    "yarn",
    "seconds",
    "standing",
    "may_vary",
    "head",
    "text",
    "items",
    "touches",
)
FACTS = (
    "needle_seen_sd",
    "gap_seen_sd",
    "length_on_machine",
    "length_seen_sd",
    "length_read_sd",
    "lost_off_most",
    "count_astray",
    "debounce_ms",
    "pause_seconds",
    "pace_counts",
    "session_hours",
)
LONGEST_HEAD = 90
"""Characters of a first sentence that is set large, above the rest."""


def bench_data(
    plan: SockPlan, which: str, locale: Locale = ENGLISH, following: Following | None = None
) -> Data:
    """What the page needs of a plan's sock, `which` being "first" or "second" of the pair, the
    second by its plan as it follows the first.

    JSON-ready. Texts are lists of places in "sentences", to be joined by blanks. A sentence is a
    text, or a list of texts and of numbers [value, each, instructions]: such a number grows by
    `each` with every round knitted more in one of the instructions. "off" are the counts done when
    the sock is off its needles; "follows" are the rounds that the second sock has as the first,
    null for the first; "asides" are sentences by instruction that tell of the first sock; "beds"
    are looks of cylinder and dial as `runs`; "counts" are rows of BEAT_COLUMNS, "instructions" rows
    of INSTRUCTION_COLUMNS; an instruction's number is its place from 1, and so is a count's.
    Lengths in mm, masses in g.
    """
    sock, machine = sock_of(plan), plan.order.machine
    told = instructions(plan, locale.code)
    sections = list(dict.fromkeys(each.section.value for each in told))
    program, pool = plan.program, _Pool()
    data = {
        "version": VERSION,
        "which": which,
        "title": plan.order.title,
        "side": plan.side,
        "language": locale.code,
        "units": plan.units,
        "needles": program.needles,
        "turns": machine.turns.value,
        "sense": 1 if machine.forward is Direction.CLOCKWISE else -1,
        "course_mm": round(plan.gauge.course.value, 4),
        "sections": sections,
        "section_names": [capital(locale.render(s)) for s in sections],
        "instruction_columns": INSTRUCTION_COLUMNS,
        "instructions": _instructions(plan, sock, told, sections, pool, locale),
        "beat_columns": COUNT_STEP_COLUMNS,
        "beats": [
            [
                count_step.instruction,
                count_step.count,
                count_step.before,
                count_step.bed,
                count_step.gap_before,
                count_step.gap,
                count_step.passed,
                round(count_step.used_mm),
                round(count_step.length_mm, 1),
            ]
            for count_step in sock.count_steps
        ],
        "off": sock.off,
        "beds": [[runs(cylinder), runs(dial)] for cylinder, dial in sock.beds],
        "yarns": {name: _yarn(plan, which, name, locale) for name in plan.use},
        "stages": _stages(plan, sock),
        "heel_needles": list(heel_needles(sock)),
        "advice": turns_of_advice(plan, told, locale.code),
        "marks": _marks(plan, locale),
        "first": [locale.render(sentence(words)) for words in short_words(plan)],
        "conventions": list(conventions(plan.execution, machine, locale.code)),
        "cautions": list(cautions(program, machine, locale.code)),
        "facts": {name: fact("bench", name).number for name in FACTS},
        "mishaps": mishaps(locale),
        "words": page_words(locale),
        **_of_the_first(plan, which, following, locale),
    }
    return {**data, "sentences": pool.sentences}


def _of_the_first(plan: SockPlan, which: str, following: Following | None, locale: Locale) -> Data:
    """What the page of the second sock knows of the first."""
    if which == FIRST:
        return {"follows": None, "asides": {}}
    known = following or Following()
    told = asides(plan, known).items()
    return {
        "follows": [list(one) for one in known.follows.items()],
        "asides": {number: [locale.render(one) for one in all_of] for number, all_of in told},
    }


def runs(letters: str) -> str:
    """Letters with those that repeat counted: "wwwor" as "3wor"."""
    counted = ((len(list(group)), letter) for letter, group in groupby(letters))
    return "".join(f"{n}{letter}" if n > 1 else letter for n, letter in counted)


class _Pool:
    """Sentences, each once: rows of heel and toe say much the same."""

    def __init__(self) -> None:
        self._places: dict[Sentence, int] = {}

    def places(self, sentences: Iterable[Sentence]) -> list[int]:
        """Where the sentences of a text are; with blanks between, they make the text again."""
        return [self._places.setdefault(one, len(self._places)) for one in sentences]

    @property
    def sentences(self) -> list[Any]:
        """All of them, by place."""
        return [_pieces(one) for one in self._places]


def _pieces(one: Sentence) -> Any:
    if not any(isinstance(piece, Amount) for piece in one.pieces):
        return str(one)
    return [
        piece if isinstance(piece, str) else [piece.value, piece.each, list(piece.by)]
        for piece in one.pieces
    ]


def _instructions(
    plan: SockPlan,
    sock: Sock,
    told: tuple[Instruction, ...],
    sections: list[str],
    pool: _Pool,
    locale: Locale,
) -> list[list[Any]]:
    """A row of INSTRUCTION_COLUMNS for each."""
    first_count_steps = {
        count_step.instruction: count_step for count_step in reversed(sock.count_steps)
    }
    standing, steps = standing_data(plan, told), plan.program.steps
    rows = []
    for each in told:
        count_step = first_count_steps[each.number]
        covered = [steps[number - 1] for number in each.steps]
        head, text = _head_and_text(each, locale)
        rows.append(
            [
                sections.index(count_step.section),
                count_step.kind,
                count_step.count_steps,
                count_step.of,
                count_step.way,
                count_step.yarn or "",
                round(count_step.seconds, 1),
                standing[each.number],
                int(any(isinstance(step, Rounds) for step in covered)),
                pool.places(head),
                pool.places(text),
                [pool.places([item]) for item in each.items],
                [_touch(touch) for touch in count_step.touches],
            ]
        )
    return rows


def _head_and_text(
    each: Instruction, locale: Locale
) -> tuple[Sequence[Sentence], Sequence[Sentence]]:
    """What is set large, and what stands below it.

    A row's own short form is set large, and so are rounds in short; of others the first sentence,
    where it is not long.
    """
    if each.items:
        return each.sentences, ()
    if each.count is not None and each.count.kind == "row":
        return each.deed, each.sentences
    if each.short is not None:
        return [each.short], each.sentences
    head, dot, rest = each.text.partition(". ")
    if not dot:
        head, rest = each.text.removesuffix("."), ""
    if len(head) >= LONGEST_HEAD:
        return (), each.sentences
    return [Sentence((head + ".",), locale)], [Sentence((rest,), locale)] if rest else ()


def _stages(plan: SockPlan, sock: Sock) -> list[list[Any]]:
    """[counts done, hem, heel] wherever one of the stages changes."""
    found: list[list[Any]] = []
    for done, stage in enumerate(stages(plan, sock)):
        if not found or found[-1][1:] != [stage.hem, stage.heel]:
            found.append([done, stage.hem, stage.heel])
    return found


def _touch(touch: NeedleTouch) -> list[Any]:
    return [touch.deed, list(touch.needles)]


def _yarn(plan: SockPlan, which: str, name: str, locale: Locale) -> Data:
    """A yarn of the sock: what is on hand for the pair, used before it, in it, and after it."""
    own = {yarn.role: yarn for yarn in plan.order.yarns}
    tex = plan.yarns[name].tex.value
    sock = plan.use[name].mass.value
    other = plan.pair_use[name].mass.value - sock
    kept = name not in (WASTE, CORD)
    given = own.get(name)
    on_hand = plan.yarns[name].on_hand_g if kept else None
    return {
        "name": given.name if given is not None else locale.render(YARNS.get(name, "the yarn")),
        "paint": paint(given.colour) if given is not None else UNKNOWN_YARN,
        "g_per_m": round(tex / 1000, 5),
        "on_hand_g": None if on_hand is None else round(on_hand, 1),
        "earlier_g": round(other if which == SECOND else 0.0, 2),
        "sock_g": round(sock, 2),
        "later_g": round(other if which == FIRST else 0.0, 2),
        "stays": kept,
    }


def _marks(plan: SockPlan, locale: Locale) -> list[list[Any]]:
    """Letter, name and place of each mark on the picture."""
    machine, program = plan.order.machine, plan.program
    marks = place_marks(machine, program.needles, limits_of_program(plan.execution))
    return [[mark.letter, locale.named(mark.name), mark.place] for mark in marks]


def sock_name(plan: SockPlan, which: str) -> str:
    """What the sock is called: by its foot, or by its turn where one plan serves both."""
    names = {
        "left": _("left sock"),
        "right": _("right sock"),
        FIRST: _("first sock"),
        SECOND: _("second sock"),
    }
    return names[which if plan.side == "both" else plan.side]
