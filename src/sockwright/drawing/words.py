"""The words in drawings, in one place so that another language is another `Words`."""

from __future__ import annotations

from dataclasses import dataclass, fields

from sockwright.words import ENGLISH as ENGLISH_TONGUE
from sockwright.words import Tongue


@dataclass(frozen=True)
class Words:
    """Every word a drawing prints that does not come from its user. Fields in braces are filled
    in by the drawing."""

    tongue: Tongue = ENGLISH_TONGUE

    # the cylinder
    cylinder: str = "Cylinder of {needles} needles, seen from above"
    cylinder_key: str = "What the pictures of the cylinder show"
    you: str = "you"
    forward: str = "forward"
    heel_half: str = "heel half"
    instep_half: str = "instep half"
    carrier: str = "carrier at the home gap"
    carrier_past: str = "carrier past needle {needle}"
    next_forward: str = "next pass forward"
    next_reverse: str = "next pass in reverse"
    cylinder_turns: str = "the cylinder turns, the carrier stands"
    carrier_turns: str = "the carrier turns, the cylinder stands"
    working: str = "in work"
    raised: str = "raised"
    raised_outward: str = "raised: hollow, further out"
    touched_next: str = "touched next: wider"
    out: str = "out of its slot"
    dial_working: str = "dial needle in work"
    now: str = "now: needles {needles}"
    now_one: str = "now: needle {needles}"
    before: str = "before needle {needle}"
    between: str = "between {first} and {last}"
    at_needles: str = "at needles {first} and {last}"
    both_needles: str = "{first} and {last}"
    # strip and ring
    marks_key: str = "What the marks are"
    strip: str = "Marking strip for {needles} needles"
    strip_tile: str = "{needles} needles · piece {tile} of {tiles} · {length} round the needles"
    strip_overlap: str = "lay piece {tile} over this"
    strip_close: str = "lay the beginning over this"
    ring: str = "Marking ring for {needles} needles"
    ring_size: str = "{needles} needles · {diameter} across the needle circle"
    check: str = "Check bars: 100 mm and 4 in"
    check_mm: str = "must measure 100 mm"
    check_in: str = "must measure 4 in"
    # the sock
    sock: str = "Side view of the sock"
    foot_length: str = "foot length {length}"
    height: str = "height {length}"
    width: str = "tube, flat {length}"
    tube_length: str = "from top to toe {length}"
    turns_here: str = "here it turns when worn: foot {foot}, height {height}"
    rounds: str = "{rounds} rounds"
    cuff: str = "cuff"
    leg: str = "leg"
    heel: str = "heel"
    foot: str = "foot"
    toe: str = "toe"
    cup_rows: str = "{rows} rows"
    cup_keeps: str = "keeps {kept} of {needles}"
    cup_turn: str = "turns {degrees}°"
    fold: str = "hem cut through: it lies double"
    gathered: str = "gathered"
    scale: str = "drawn 1 : {scale}"
    every_ten: str = "a line every {rounds} rounds"
    yarn_of: str = "{part}: {yarn}"
    # the chart
    chart: str = "Chart of {needles} needles and {courses} courses"
    page: str = "page {page} of {pages}"
    needles: str = "needles {first} to {last}"
    row: str = "row {number}"
    key_knit: str = "knit"
    key_purl: str = "purl, on the dial"
    key_wrap: str = "wrap round a raised needle"
    key_tuck: str = "yarn over an empty needle"
    key_float: str = "yarn passes an idle needle"
    key_joined: str = "knitted with another loop"
    key_waste: str = "leaves the sock"

    def section(self, name: str) -> str:
        """What a section is called."""
        return self.tongue.gettext(name)

    def fill(self, phrase: str, **values: object) -> str:
        """One of these phrases with its fields filled in, each told."""
        return self.tongue.fill(phrase, values)

    def name(self, name: str) -> str:
        """A name that may be ours or the user's own."""
        return self.tongue.named(name)


ENGLISH = Words()


def words_in(tongue: Tongue) -> Words:
    """The words in a language."""
    return Words(tongue, **{name: tongue.gettext(phrase) for name, phrase in phrases().items()})


def phrases() -> dict[str, str]:
    """Every phrase in English by its name."""
    return {
        field.name: str(field.default) for field in fields(Words) if isinstance(field.default, str)
    }
