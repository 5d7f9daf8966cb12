"""The nouns of an instruction: needles by number and by mark, places by hour, yarns, lengths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import gcd

from sockwright.i18n import N_, Locale, _, numeral
from sockwright.i18n.locale import Sentence, sentence_of
from sockwright.machine import (
    DEFAULT_MARKS,
    CamNaming,
    Machine,
    Mark,
    Turning,
    gap_hour,
    hours_apart,
    landmark_at,
    whole_hours,
)
from sockwright.needlebed.bed import State
from sockwright.wording.instructions import FoundCup

FEWEST_RUN = 3
"""Neighbours that are worth saying as "3 to 5"."""
FEWEST_STEPPED = 4
"""Needles at equal steps that are worth saying as "every 2nd from 2 to 8"."""
MOST_MISSING = 2
"""As many may be missing from a run that is otherwise even."""
MOST_INTERLEAVED = 4
"""Stepped runs that may lie in one another: the wales of a rib that purls up to four together."""

Run = tuple[int, int, int]
"""(first, last, step) of numbers at equal steps; step 0 for one number alone."""

MM_PER_UNIT = {"cm": 10.0, "in": 25.4}
KG_PER_POUND = 0.45359237

EXACTLY_HOURS = 0.02
"""Hours within which a gap is said to be at a whole hour."""

NEAR_HOURS = 0.25
"""Hours within which a gap is said to be near a whole hour."""

HOURS = (
    N_("one"),
    N_("two"),
    N_("three"),
    N_("four"),
    N_("five"),
    N_("six"),
    N_("seven"),
    N_("eight"),
    N_("nine"),
    N_("ten"),
    N_("eleven"),
    N_("twelve"),
)

MARKS = {
    "home": N_("home mark"),
    "halfway": N_("halfway mark"),
    "heel limits": N_("heel turn limits"),
    "instep limits": N_("instep turn limits"),
    "deep limits": N_("outer turn limits"),
}
"""What marks are called that their user has not named, by role."""

YARNS = {
    "main": N_("the main yarn"),
    "cuff": N_("the cuff yarn"),
    "heel": N_("the heel yarn"),
    "toe": N_("the toe yarn"),
    "waste": N_("the waste yarn"),
    "cord": N_("the ravel cord"),
}
"""What yarns are called that their user has not named, by part."""


def needle_runs(numbers: Sequence[int]) -> list[Run]:
    """Rising `numbers` as runs that hold each of them once, in their order of first mention."""
    runs: list[Run] = []
    place = 0
    while place < len(numbers):
        ways, length = _best(numbers, place)
        if ways:
            parts = [numbers[place + way : place + length : ways] for way in range(ways)]
            runs += [(part[0], part[-1], part[1] - part[0]) for part in parts]
        else:
            runs.append((numbers[place], numbers[place], 0))
        place += length
    return runs


def _best(numbers: Sequence[int], place: int) -> tuple[int, int]:
    """How many interleaved runs begin at `place`, and how many numbers they hold together; (0, 1)
    where a number is best said alone."""
    best, gain = (0, 1), 0
    for ways in range(1, MOST_INTERLEAVED + 1):
        length = _regular(numbers, place, ways)
        step = numbers[place + ways] - numbers[place] if length else 0
        fewest = FEWEST_RUN if step == 1 else FEWEST_STEPPED * ways
        if length >= fewest and length - 3 * ways >= gain:
            best, gain = (ways, length), length - 3 * ways + 1
    return best


def _regular(numbers: Sequence[int], place: int, ways: int) -> int:
    """Length of the stretch from `place` on that rises by one step every `ways` numbers."""
    if place + ways >= len(numbers):
        return 0
    step = numbers[place + ways] - numbers[place]
    end = place + ways
    while end < len(numbers) and numbers[end] - numbers[end - ways] == step:
        end += 1
    return end - place


@dataclass(frozen=True)
class Numbered:
    """How things are told by their numbers: one, many, and every so many."""

    one: str
    many: str
    stepped: str


NEEDLES = Numbered(N_("needle {n}"), N_("needles {n}"), N_("every {nth} needle {runs}"))
SLOTS = Numbered(N_("dial slot {n}"), N_("dial slots {n}"), N_("every {nth} dial slot {runs}"))


def say_numbered(locale: Locale, what: Numbered, numbers: Sequence[int]) -> str:
    """Things by their numbers: "needle 3", "needles 31 to 60", "every 3rd needle from 3 to 60"."""
    if len(numbers) == 1:
        return locale.render(what.one, n=numbers[0])
    runs, missing = _all_but(sorted(numbers))
    steps = {step for _, _, step in runs}
    if stepped := len(steps) == 1 and min(steps) > 1:
        said = [
            locale.render("from {first} to {last}", first=first, last=last)
            for first, last, _ in runs
        ]
    else:
        said = list(_pieces(locale, runs))
    text = join(locale, said)
    if missing:
        others = join(locale, list(_pieces(locale, needle_runs(missing))))
        text = locale.render("{runs}, but not {others}", runs=text, others=others)
    if stepped:
        return locale.render(what.stepped, nth=locale.ordinal(runs[0][2]), runs=text)
    return locale.render(what.many, n=text)


def _all_but(numbers: Sequence[int]) -> tuple[list[Run], list[int]]:
    """Rising numbers as runs; as one even run and what is missing from it where that is shorter,
    or no longer and hardly anything is missing."""
    runs = needle_runs(numbers)
    step = gcd(*(b - a for a, b in pairwise(numbers)))
    whole = range(numbers[0], numbers[-1] + 1, step)
    missing = sorted(set(whole).difference(numbers))
    if not missing or len(whole) < FEWEST_STEPPED:
        return runs, []
    spared = len(runs) - 1 - len(needle_runs(missing))
    few = len(missing) <= MOST_MISSING and len(numbers) > FEWEST_STEPPED * len(missing)
    if spared > 0 or (spared == 0 and few):
        return [(whole[0], whole[-1], step)], missing
    return runs, []


def _pieces(locale: Locale, runs: Sequence[Run]) -> Iterator[str]:
    for first, last, step in runs:
        if step == 0:
            yield str(first)
        elif step == 1:
            yield locale.render("{first} to {last}", first=first, last=last)
        else:
            yield locale.render(
                "every {nth} from {first} to {last}",
                nth=locale.ordinal(step),
                first=first,
                last=last,
            )


def join(locale: Locale, pieces: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(pieces) < 2:
        return pieces[0] if pieces else ""
    return locale.render("{some} and {last}", some=", ".join(pieces[:-1]), last=pieces[-1])


class Terms:
    """Names things as one user names them: her machine's marks and landmarks, her yarns, her
    units ("cm" or "in"; KeyError for another)."""

    def __init__(
        self,
        locale: Locale,
        machine: Machine,
        needles: int,
        units: str,
        yarn_names: Mapping[str, str],
    ) -> None:
        self.locale = locale
        self.render = locale.render
        self.machine = machine
        self.count = needles
        self.units = units
        self.mm_per_unit = MM_PER_UNIT[units]
        self.yarn_names = yarn_names
        self.limits: dict[int, str] = {}

    def sentence(self, text: str, /, **values: object) -> Sentence:
        """A sentence in pieces, with the amounts among its values apart."""
        return sentence_of(self.locale, self.locale.gettext(text), values)

    @property
    def half(self) -> int:
        """Needles of the heel half."""
        return self.count // 2

    def use_limits_of(self, cup: FoundCup | None) -> None:
        """Name the turn limits of `cup` wherever one of its needles is named."""
        role = None if cup is None else cup.role
        self.limits = {}
        if cup is not None and role is not None:
            self.limits = dict.fromkeys(cup.limits, self.mark(role))

    def weight(self, kg: float) -> str:
        """A mass as a weight is bought: in kg, or in pounds where lengths are in inches."""
        if self.units == "in":
            return self.render("{value} lb", value=numeral(f"{kg / KG_PER_POUND:.1f}"))
        return self.render("{value} kg", value=numeral(f"{kg:.2f}"))

    def mark(self, role: str) -> str:
        """What the user calls the mark of `role`; one without a name of hers has our name, and the
        colour she gave."""
        mark = self.machine.mark(role)
        if Mark(role, mark.name) not in DEFAULT_MARKS:
            return mark.name
        name = self.render(MARKS[role])
        if not mark.colour:
            return name
        return self.render("{name} in {colour}", name=name, colour=_(mark.colour))

    def needles(self, needles: Sequence[int]) -> str:
        """Needles by number, and by mark where one of them is a turn limit."""
        plain = self.needles_plain(needles)
        marked = [n for n in needles if n in self.limits] if self.limits else []
        if not marked:
            return plain
        if len(needles) == 1:
            marks = self.render("mark: {name}", name=self.limits[marked[0]])
        else:
            pieces = [self.render("{n}, mark: {name}", n=n, name=self.limits[n]) for n in marked]
            marks = join(self.locale, pieces)
        return self.render("{needles} ({marks})", needles=plain, marks=marks)

    def needles_plain(self, needles: Sequence[int]) -> str:
        """Needles by number only."""
        return say_numbered(self.locale, NEEDLES, needles)

    def run(self, low: int, high: int) -> str:
        """The needles low..high, without looking at each."""
        if high - low < 2:
            return self.needles_plain(range(low, high + 1))
        return self.render("needles {n}", n=self.render("{first} to {last}", first=low, last=high))

    def in_work(self, at: State) -> str:
        """The needles in work."""
        if at.solid():
            return self.run(*at.span())
        return self.needles_plain(at.working())

    def slots(self, slots: Sequence[int]) -> str:
        """Dial slots by number."""
        return say_numbered(self.locale, SLOTS, slots)

    def carrier(self, at: State) -> Sentence:
        """Where the carrier stands: at home, or past which needle."""
        return self.stop(at, N_("Carrier at home."), N_("Carrier past {needle}."))

    def stop(self, at: State, home: str, past: str, **values: object) -> Sentence:
        """The sentence of two that says where the carrier stands: `home`, or `past` a {needle}."""
        if at.at_home():
            return self.sentence(home, **values)
        return self.sentence(past, needle=self.passed(at), **values)

    def passed(self, at: State) -> str:
        """The needle that the carrier is past, and at which mark and hour that is."""
        name = self.needles_plain((at.passed(),))
        where = ", ".join(self._where(at))
        return f"{name} ({where})" if where else name

    def _where(self, at: State) -> Iterator[str]:
        """The mark at which the carrier stands, and where it runs the hour and the landmark."""
        needle, gap, home = at.passed(), at.gap, at.at_home()
        mark = "home" if home else "halfway" if gap == self.half else None
        beside = needle in (gap % self.count or self.count, gap % self.count + 1)
        if mark is not None:
            text = N_("the {name}") if beside else N_("the last before the {name}")
            yield self.render(text, name=self.mark(mark))
        if self.machine.turns is Turning.CYLINDER:
            return
        hour = gap_hour(self.machine, self.count, 0 if home else gap)
        yield self.hour(hour)
        landmark = landmark_at(self.machine, hour)
        if landmark is not None:
            yield self.render("by the {name}", name=landmark.name)

    def hour(self, hour: float) -> str:
        """A place on the clock face: at an hour, near one, or between two."""
        first, after = whole_hours(hour)
        for whole in (first, after):
            apart = hours_apart(hour, whole)
            if apart <= NEAR_HOURS:
                at, near = N_("{hour} o'clock"), N_("near {hour} o'clock")
                text = at if apart <= EXACTLY_HOURS else near
                return self.render(text, hour=self._hour_word(whole))
        return self.render(
            "between {first} and {last} o'clock",
            first=self._hour_word(first),
            last=self._hour_word(after),
        )

    def _hour_word(self, hour: int) -> str:
        return self.render(HOURS[(hour - 1) % 12])

    def dial_place(self, place: float) -> str:
        """Where a dial slot stands, `place` in needle numbers."""
        below = int(place)
        if place == below:
            return self.render("over {needle}", needle=self.needles_plain((below,)))
        pair = [(below - 1) % self.count + 1, below % self.count + 1]
        number = join(self.locale, list(map(str, pair)))
        return self.render("between {needles}", needles=self.render("needles {n}", n=number))

    def yarn(self, name: str | None) -> str:
        """What the user calls the yarn of a part, or our own words for it."""
        if name is None:
            return self.render("the yarn")
        if name in self.yarn_names:
            return self.yarn_names[name]
        return self.render(YARNS[name]) if name in YARNS else name

    def length(self, mm: float) -> str:
        """A length for the hand, to a whole unit."""
        text = N_("{value} in") if self.units == "in" else N_("{value} cm")
        return self.render(text, value=round(mm / self.mm_per_unit))

    def pairs(self, pairs: Sequence[tuple[str, str]], text: str = N_("{a} to {b}")) -> str:
        """A few pairs in full, many by the first and the last."""
        said = [self.render(text, a=pairs[place][0], b=pairs[place][1]) for place in (0, -1)]
        if len(pairs) == 1:
            return said[0]
        return self.render("{first}, and so on to {last}", first=said[0], last=said[1])

    def cam(self, setting: float) -> str:
        """A stitch-cam setting in the user's word."""
        word, figures = self.machine.cam.word, numeral(f"{setting:g}")
        if word == CamNaming().word:
            return self.render("number {setting}", setting=figures)
        return self.render("{setting} {word}", setting=figures, word=word)
