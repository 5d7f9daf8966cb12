"""The nouns of an instruction: needles by mark, places by hour, yarns, lengths."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from sockwright.machine.model import DEFAULT_MARKS, CamNaming, Machine, Mark, Turning
from sockwright.machine.places import gap_hour, hours_apart, landmark_at, whole_hours
from sockwright.needlebed.state import State
from sockwright.wording.cups import FoundCup
from sockwright.wording.needle_lists import join, say_numbered
from sockwright.wording.phrases import Phrases
from sockwright.words import numeral, said

MM_PER_UNIT = {"cm": 10.0, "in": 25.4}
KG_PER_POUND = 0.45359237
EXACTLY_HOURS = 0.02
"""Hours within which a gap is said to be at a whole hour."""
NEAR_HOURS = 0.25
"""Hours within which a gap is said to be near a whole hour."""


class Talk:
    """Names things as one user names them: her machine's marks and landmarks, her yarns, her
    units ("cm" or "in"; KeyError for another)."""

    def __init__(
        self,
        phrases: Phrases,
        machine: Machine,
        needles: int,
        units: str,
        yarn_names: Mapping[str, str],
    ) -> None:
        self.phrases = phrases
        self.say = phrases.say
        self.machine = machine
        self.count = needles
        self.units = units
        self.mm_per_unit = MM_PER_UNIT[units]
        self.yarn_names = yarn_names
        self.limits: dict[int, str] = {}

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
            return self.say("unit.lb", value=numeral(f"{kg / KG_PER_POUND:.1f}"))
        return self.say("unit.kg", value=numeral(f"{kg:.2f}"))

    def mark(self, role: str) -> str:
        """What the user calls the mark of `role`, with its colour if that is not in it."""
        mark = self.machine.mark(role)
        name = mark.name
        if Mark(role, name) in DEFAULT_MARKS:
            name = self.say("mark." + role.replace(" ", "_"))
        colour = self.phrases.tongue.tell(said(mark.colour))
        if colour.casefold() in name.casefold():
            return name
        return self.say("mark.coloured", name=name, colour=colour)

    def needles(self, needles: Sequence[int]) -> str:
        """Needles by number, and by mark where one of them is a turn limit."""
        plain = self.needles_plain(needles)
        marked = [n for n in needles if n in self.limits] if self.limits else []
        if not marked:
            return plain
        if len(needles) == 1:
            marks = self.say("needle.mark", name=self.limits[marked[0]])
        else:
            pieces = [self.say("needle.mark_of", n=n, name=self.limits[n]) for n in marked]
            marks = join(self.phrases, pieces)
        return self.say("needle.marked", needles=plain, marks=marks)

    def needles_plain(self, needles: Sequence[int]) -> str:
        """Needles by number only."""
        return say_numbered(self.phrases, "needle", needles)

    def run(self, low: int, high: int) -> str:
        """The needles low..high, without looking at each."""
        if high - low < 2:
            return self.needles_plain(range(low, high + 1))
        return self.say("needle.many", n=self.say("list.range", first=low, last=high))

    def in_work(self, at: State) -> str:
        """The needles in work."""
        if at.solid():
            return self.run(*at.span())
        return self.needles_plain(at.working())

    def slots(self, slots: Sequence[int]) -> str:
        """Dial slots by number."""
        return say_numbered(self.phrases, "slot", slots)

    def past(self, at: State) -> str:
        """Where the carrier stands: past which needle."""
        return self.say("place.past", needle=self.needles_plain((at.passed(),)))

    def place(self, at: State, *, full: bool = False) -> str:
        """Where the carrier stands: at home, or past which needle, at which mark and hour; home
        by its needle, too, where it is told in `full`."""
        if at.at_home() and not full:
            return self.say("place.home")
        name = self.needles_plain((at.passed(),))
        where = self.say("list.comma").join(self._where(at))
        if at.at_home():
            return self.say("place.home_full", needle=name, where=where)
        if not where:
            return self.past(at)
        return self.say("place.past_where", needle=name, where=where)

    def _where(self, at: State) -> Iterator[str]:
        """The mark at which the carrier stands, and where it runs the hour and the landmark."""
        needle, gap, home = at.passed(), at.gap, at.at_home()
        mark = "home" if home else "halfway" if gap == self.half else None
        beside = needle in (gap % self.count or self.count, gap % self.count + 1)
        if mark is not None:
            key = "mark.the" if beside else "mark.last_before"
            yield self.say(key, name=self.mark(mark))
        if self.machine.turns is Turning.CYLINDER:
            return
        hour = gap_hour(self.machine, self.count, 0 if home else gap)
        yield self.hour(hour)
        landmark = landmark_at(self.machine, hour)
        if landmark is not None:
            yield self.say("mark.landmark", name=landmark.name)

    def hour(self, hour: float) -> str:
        """A place on the clock face: at an hour, near one, or between two."""
        first, after = whole_hours(hour)
        for whole in (first, after):
            apart = hours_apart(hour, whole)
            if apart <= NEAR_HOURS:
                key = "clock.exact" if apart <= EXACTLY_HOURS else "clock.near"
                return self.say(key, hour=self._hour_word(whole))
        return self.say("clock.between", first=self._hour_word(first), last=self._hour_word(after))

    def _hour_word(self, hour: int) -> str:
        return self.say(f"hour.{(hour - 1) % 12 + 1}")

    def dial_place(self, place: float) -> str:
        """Where a dial slot stands, `place` in needle numbers."""
        below = int(place)
        if place == below:
            return self.say("place.over", needle=self.needles_plain((below,)))
        pair = [(below - 1) % self.count + 1, below % self.count + 1]
        number = self.say("list.and").join(map(str, pair))
        return self.say("place.gap", needles=self.say("needle.many", n=number))

    def yarn(self, name: str | None) -> str:
        """What the user calls the yarn of a part, or our own words for it."""
        if name is None:
            return self.say("yarn.none")
        if name in self.yarn_names:
            return self.yarn_names[name]
        key = f"yarn.{name}"
        return self.say(key) if key in self.phrases else name

    def length(self, mm: float) -> str:
        """A length for the hand, to a whole unit."""
        return self.say(f"unit.{self.units}", value=round(mm / self.mm_per_unit))

    def pairs(self, pairs: Sequence[tuple[str, str]], key: str = "pair.to") -> str:
        """A few pairs in full, many by the first and the last."""
        said = [self.say(key, a=pairs[place][0], b=pairs[place][1]) for place in (0, -1)]
        if len(pairs) == 1:
            return said[0]
        return self.say("pair.run", first=said[0], last=said[1])

    def cam(self, setting: float) -> str:
        """A stitch-cam setting in the user's word."""
        word, figures = self.machine.cam.word, numeral(f"{setting:g}")
        if word == CamNaming().word:
            return self.say("step.cam_number", setting=figures)
        return self.say("step.cam_word", setting=figures, word=word)
