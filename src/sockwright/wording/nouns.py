"""The nouns of an instruction: needles by mark, places by hour, yarns, lengths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

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
from sockwright.wording.cups import FoundCup
from sockwright.wording.needle_lists import NEEDLES, SLOTS, join, say_numbered
from sockwright.words import Tongue, numeral, phrase, said
from sockwright.words.tongue import Sentence, sentence_of

MM_PER_UNIT = {"cm": 10.0, "in": 25.4}
KG_PER_POUND = 0.45359237
EXACTLY_HOURS = 0.02
"""Hours within which a gap is said to be at a whole hour."""
NEAR_HOURS = 0.25
"""Hours within which a gap is said to be near a whole hour."""

HOURS = (
    phrase("one"),
    phrase("two"),
    phrase("three"),
    phrase("four"),
    phrase("five"),
    phrase("six"),
    phrase("seven"),
    phrase("eight"),
    phrase("nine"),
    phrase("ten"),
    phrase("eleven"),
    phrase("twelve"),
)
MARKS = {
    "home": phrase("home mark"),
    "halfway": phrase("halfway mark"),
    "heel limits": phrase("heel turn limits"),
    "instep limits": phrase("instep turn limits"),
    "deep limits": phrase("outer turn limits"),
}
"""What marks are called that their user has not named, by role."""
YARNS = {
    "main": phrase("the main yarn"),
    "cuff": phrase("the cuff yarn"),
    "heel": phrase("the heel yarn"),
    "toe": phrase("the toe yarn"),
    "waste": phrase("the waste yarn"),
    "cord": phrase("the ravel cord"),
}
"""What yarns are called that their user has not named, by part."""


class Talk:
    """Names things as one user names them: her machine's marks and landmarks, her yarns, her
    units ("cm" or "in"; KeyError for another)."""

    def __init__(
        self,
        tongue: Tongue,
        machine: Machine,
        needles: int,
        units: str,
        yarn_names: Mapping[str, str],
    ) -> None:
        self.tongue = tongue
        self.tell = tongue.tell
        self.machine = machine
        self.count = needles
        self.units = units
        self.mm_per_unit = MM_PER_UNIT[units]
        self.yarn_names = yarn_names
        self.limits: dict[int, str] = {}

    def sentence(self, text: str, /, **values: object) -> Sentence:
        """A sentence in pieces, with the amounts among its values apart."""
        return sentence_of(self.tongue, self.tongue.gettext(text), values)

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
            return self.tell("{value} lb", value=numeral(f"{kg / KG_PER_POUND:.1f}"))
        return self.tell("{value} kg", value=numeral(f"{kg:.2f}"))

    def mark(self, role: str) -> str:
        """What the user calls the mark of `role`, with its colour if that is not in it."""
        mark = self.machine.mark(role)
        name = mark.name
        if Mark(role, name) in DEFAULT_MARKS:
            name = self.tell(MARKS[role])
        colour = self.tell(said(mark.colour))
        if colour.casefold() in name.casefold():
            return name
        return self.tell("{colour} {name}", name=name, colour=colour)

    def needles(self, needles: Sequence[int]) -> str:
        """Needles by number, and by mark where one of them is a turn limit."""
        plain = self.needles_plain(needles)
        marked = [n for n in needles if n in self.limits] if self.limits else []
        if not marked:
            return plain
        if len(needles) == 1:
            marks = self.tell("mark: {name}", name=self.limits[marked[0]])
        else:
            pieces = [self.tell("{n}, mark: {name}", n=n, name=self.limits[n]) for n in marked]
            marks = join(self.tongue, pieces)
        return self.tell("{needles} ({marks})", needles=plain, marks=marks)

    def needles_plain(self, needles: Sequence[int]) -> str:
        """Needles by number only."""
        return say_numbered(self.tongue, NEEDLES, needles)

    def run(self, low: int, high: int) -> str:
        """The needles low..high, without looking at each."""
        if high - low < 2:
            return self.needles_plain(range(low, high + 1))
        return self.tell("needles {n}", n=self.tell("{first} to {last}", first=low, last=high))

    def in_work(self, at: State) -> str:
        """The needles in work."""
        if at.solid():
            return self.run(*at.span())
        return self.needles_plain(at.working())

    def slots(self, slots: Sequence[int]) -> str:
        """Dial slots by number."""
        return say_numbered(self.tongue, SLOTS, slots)

    def past(self, at: State) -> str:
        """Where the carrier stands: past which needle."""
        return self.tell("past {needle}", needle=self.needles_plain((at.passed(),)))

    def place(self, at: State, *, full: bool = False) -> str:
        """Where the carrier stands: at home, or past which needle, at which mark and hour; home
        by its needle, too, where it is told in `full`."""
        if at.at_home() and not full:
            return self.tell("at home")
        name = self.needles_plain((at.passed(),))
        where = ", ".join(self._where(at))
        if at.at_home():
            return self.tell("at home, past {needle} ({where})", needle=name, where=where)
        if not where:
            return self.past(at)
        return self.tell("past {needle} ({where})", needle=name, where=where)

    def _where(self, at: State) -> Iterator[str]:
        """The mark at which the carrier stands, and where it runs the hour and the landmark."""
        needle, gap, home = at.passed(), at.gap, at.at_home()
        mark = "home" if home else "halfway" if gap == self.half else None
        beside = needle in (gap % self.count or self.count, gap % self.count + 1)
        if mark is not None:
            text = phrase("the {name}") if beside else phrase("the last before the {name}")
            yield self.tell(text, name=self.mark(mark))
        if self.machine.turns is Turning.CYLINDER:
            return
        hour = gap_hour(self.machine, self.count, 0 if home else gap)
        yield self.hour(hour)
        landmark = landmark_at(self.machine, hour)
        if landmark is not None:
            yield self.tell("by the {name}", name=landmark.name)

    def hour(self, hour: float) -> str:
        """A place on the clock face: at an hour, near one, or between two."""
        first, after = whole_hours(hour)
        for whole in (first, after):
            apart = hours_apart(hour, whole)
            if apart <= NEAR_HOURS:
                at, near = phrase("{hour} o'clock"), phrase("near {hour} o'clock")
                text = at if apart <= EXACTLY_HOURS else near
                return self.tell(text, hour=self._hour_word(whole))
        return self.tell(
            "between {first} and {last} o'clock",
            first=self._hour_word(first),
            last=self._hour_word(after),
        )

    def _hour_word(self, hour: int) -> str:
        return self.tell(HOURS[(hour - 1) % 12])

    def dial_place(self, place: float) -> str:
        """Where a dial slot stands, `place` in needle numbers."""
        below = int(place)
        if place == below:
            return self.tell("over {needle}", needle=self.needles_plain((below,)))
        pair = [(below - 1) % self.count + 1, below % self.count + 1]
        number = join(self.tongue, list(map(str, pair)))
        return self.tell("between {needles}", needles=self.tell("needles {n}", n=number))

    def yarn(self, name: str | None) -> str:
        """What the user calls the yarn of a part, or our own words for it."""
        if name is None:
            return self.tell("the yarn")
        if name in self.yarn_names:
            return self.yarn_names[name]
        return self.tell(YARNS[name]) if name in YARNS else name

    def length(self, mm: float) -> str:
        """A length for the hand, to a whole unit."""
        text = phrase("{value} in") if self.units == "in" else phrase("{value} cm")
        return self.tell(text, value=round(mm / self.mm_per_unit))

    def pairs(self, pairs: Sequence[tuple[str, str]], text: str = phrase("{a} to {b}")) -> str:
        """A few pairs in full, many by the first and the last."""
        said = [self.tell(text, a=pairs[place][0], b=pairs[place][1]) for place in (0, -1)]
        if len(pairs) == 1:
            return said[0]
        return self.tell("{first}, and so on to {last}", first=said[0], last=said[1])

    def cam(self, setting: float) -> str:
        """A stitch-cam setting in the user's word."""
        word, figures = self.machine.cam.word, numeral(f"{setting:g}")
        if word == CamNaming().word:
            return self.tell("number {setting}", setting=figures)
        return self.tell("{setting} {word}", setting=figures, word=word)
