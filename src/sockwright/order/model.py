"""What a maker can say in an order, as frozen values: nothing is estimated here.

All lengths in mm, masses in g, yarn fineness in tex. None means "not given".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from sockwright.facts.feet import foot_measures
from sockwright.machine import Machine


class Sex(StrEnum):
    """Whose tables fill the gaps of a foot; "either" pools both."""

    WOMAN = "woman"
    MAN = "man"
    EITHER = "either"


class Load(StrEnum):
    """How the foot stood when it was measured."""

    STANDING = "standing"
    SITTING = "sitting"


class State(StrEnum):
    """The state of the fabric when it was measured."""

    ON_MACHINE = "on the machine"
    RESTED = "rested"
    WASHED = "washed"


class ShoeSystem(StrEnum):
    """Shoe size systems understood."""

    EU = "EU"
    UK = "UK"
    US_MEN = "US men"
    US_WOMEN = "US women"
    MONDOPOINT = "Mondopoint"
    EU_CHILD = "EU child"
    UK_CHILD = "UK child"
    US_CHILD = "US child"


@dataclass(frozen=True)
class ShoeSize:
    """A shoe size in its system."""

    system: ShoeSystem
    size: float


@dataclass(frozen=True, init=False)
class FootGiven:
    """What was measured of one foot, mm, by the measure's name. `pencil_mm` is the thickness of the
    pencil when the length comes from a traced outline (None: measured otherwise)."""

    measures_mm: tuple[tuple[str, float], ...] = ()
    pencil_mm: float | None = None
    load: Load = Load.STANDING

    def __init__(
        self,
        measures_mm: Iterable[tuple[str, float]] = (),
        pencil_mm: float | None = None,
        load: Load = Load.STANDING,
        **given: float | None,
    ) -> None:
        """Measures may be `given` by name, as `length_mm=245.0`; TypeError for an unknown one."""
        known = {**{f"{name}_mm": mm for name, mm in measures_mm}, **given}
        every = {name: known.pop(f"{name}_mm", None) for name in foot_measures()}
        if known:
            raise TypeError(f"no measures of a foot: {', '.join(known)}")
        kept = tuple((name, mm) for name, mm in every.items() if mm is not None)
        for name, value in (("measures_mm", kept), ("pencil_mm", pencil_mm), ("load", load)):
            object.__setattr__(self, name, value)

    def mm(self, name: str) -> float | None:
        """One measure; None where it was not taken."""
        return dict(self.measures_mm).get(name)

    @property
    def length_mm(self) -> float | None:
        """The foot's length."""
        return self.mm("length")


@dataclass(frozen=True)
class WearerGiven:
    """Who wears the socks. `left` and `right` are equal where both feet were given as one."""

    name: str
    sex: Sex = Sex.EITHER
    age_years: float | None = None
    stature_mm: float | None = None
    weight_kg: float | None = None
    shoe: ShoeSize | None = None
    left: FootGiven = FootGiven()
    right: FootGiven = FootGiven()


YARN_ROLES = ("main", "cuff", "heel", "toe", "waste", "cord")


@dataclass(frozen=True)
class YarnGiven:
    """A yarn: fineness of the whole yarn (all plies) in tex, sd of it if the maker weighed it
    herself, fibres as (name, share 0..1), mass on hand in g for the pair."""

    role: str
    name: str
    tex: float
    tex_sd: float | None = None
    colour: str = ""
    fibres: tuple[tuple[str, float], ...] = ()
    on_hand_g: float | None = None


@dataclass(frozen=True)
class Count:
    """So many wales or courses counted across a span, mm."""

    number: float
    span_mm: float


@dataclass(frozen=True)
class Unravelled:
    """The straightened length in mm of the yarn of so many loops."""

    loops: float
    length_mm: float


@dataclass(frozen=True)
class Weighed:
    """The mass in g of so many loops."""

    loops: float
    mass_g: float


@dataclass(frozen=True)
class RoundsLength:
    """The length in mm of so many rounds of tube."""

    rounds: float
    length_mm: float


class Pull(StrEnum):
    """How a piece was stretched: as far as it goes in a firm pull of both hands, or less."""

    FIRM = "firm"
    GENTLE = "gentle"


@dataclass(frozen=True)
class Stretch:
    """Width in mm of a piece relaxed and stretched by hand; `pull` None where nobody said how."""

    relaxed_mm: float
    stretched_mm: float
    pull: Pull | None = None


class Fabric(StrEnum):
    """The fabrics that socks are made of; ribs are named knit x purl."""

    PLAIN = "plain"
    HEM = "hem"
    MOCK_RIB = "mock rib"
    RIB_1X1 = "1x1"
    RIB_2X2 = "2x2"
    RIB_3X1 = "3x1"
    RIB_2X1 = "2x1"
    RIB_5X1 = "5x1"
    RIB_4X2 = "4x2"


@dataclass(frozen=True)
class SwatchGiven:
    """One swatch and every reading taken of it, all in one state of the fabric.

    `needles` is the cylinder it was knitted on; `cam` the stitch-cam setting if noted;
    `flat_widths_mm` widths of the flattened whole tube; `ruler_mm` the ruler's division;
    `weight_hung_g` what pulled the fabric down on the machine.
    """

    name: str
    state: State
    needles: int
    yarn: str = "main"
    fabric: Fabric = Fabric.PLAIN
    felted: bool = False
    cam: float | None = None
    weight_hung_g: float | None = None
    wales: tuple[Count, ...] = ()
    courses: tuple[Count, ...] = ()
    unravelled: tuple[Unravelled, ...] = ()
    weighed: tuple[Weighed, ...] = ()
    flat_widths_mm: tuple[float, ...] = ()
    rounds_length: tuple[RoundsLength, ...] = ()
    stretch: tuple[Stretch, ...] = ()
    ruler_mm: float = 1.0
    balance_g: float = 1.0
    date: str = ""


class LengthAnswer(StrEnum):
    """How long a finished sock's foot is on the foot."""

    SHORT = "short"
    RIGHT = "right"
    LONG = "long"


class RoundAnswer(StrEnum):
    """How it sits round the foot."""

    TIGHT = "tight"
    RIGHT = "right"
    LOOSE = "loose"


class HeelAnswer(StrEnum):
    """How deep its heel is."""

    SHALLOW = "shallow"
    RIGHT = "right"
    DEEP = "deep"


class PuttingOnAnswer(StrEnum):
    """How it went on."""

    EASILY = "easily"
    TUG = "with a tug"
    HARDLY = "hardly"
    NOT = "not"


class StaysUpAnswer(StrEnum):
    """Whether its top stays up."""

    YES = "yes"
    SLIPS = "slips"


@dataclass(frozen=True)
class AnswersGiven:
    """What the wearer says of a finished sock; None where she was not asked."""

    length: LengthAnswer | None = None
    round: RoundAnswer | None = None
    heel: HeelAnswer | None = None
    putting_on: PuttingOnAnswer | None = None
    stays_up: StaysUpAnswer | None = None


@dataclass(frozen=True)
class ForetoldGiven:
    """What swatches alone foretold of a sock's fabric: mm of a wale, a course and a loop."""

    wale_mm: float | None = None
    course_mm: float | None = None
    loop_mm: float | None = None


@dataclass(frozen=True)
class FinishedGiven:
    """A finished sock: how it was knitted, what it measures washed and dry, and how it fits.

    Rounds and rows are those really knitted, `loops` all of them where a program counted them. Of
    a sock of a yarn that this order has not, `tex` and `foretold` say what its yarn was and what
    its swatches foretold. Lengths are mm, `leg_length_mm` the leg's alone, without cuff and heel;
    widths those of the tube laid flat. `washes` 0 is a sock that was never washed. `confirmed`
    tells that an odd measure was looked at again.
    """

    name: str
    needles: int
    date: str = ""
    cam: float | None = None
    yarn: str = "main"
    tex: float | None = None
    leg_fabric: Fabric = Fabric.PLAIN
    hem_rounds: int | None = None
    leg_rounds: int | None = None
    foot_rounds: int | None = None
    heel_rows: int | None = None
    toe_rows: int | None = None
    loops: int | None = None
    foot_length_mm: float | None = None
    leg_length_mm: float | None = None
    flat_width_mm: float | None = None
    leg_flat_width_mm: float | None = None
    mass_g: float | None = None
    washes: int = 1
    confirmed: bool = False
    foretold: ForetoldGiven = ForetoldGiven()
    answers: AnswersGiven = AnswersGiven()


class CuffKind(StrEnum):
    """The cuffs that can be made."""

    HUNG_HEM = "hung hem"
    PICOT_HEM = "picot hem"
    MOCK_RIB_HEM = "mock-rib hem"
    TRUE_RIB = "true rib"
    ROLLED_EDGE = "rolled edge"


class RibEnd(StrEnum):
    """How far a true rib goes down the sock."""

    CUFF = "cuff"
    LEG = "leg"
    INSTEP = "instep"


class Remainder(StrEnum):
    """Where the needles left over by a rib or mock rib are knitted plain."""

    REFUSE = "refuse"
    HOME = "home"
    HALFWAY = "halfway"


@dataclass(frozen=True)
class CuffGiven:
    """The cuff: its visible depth or its rounds (a hem's folded rounds count once in `depth_mm`
    and are all counted in `rounds`), the rib (knit, purl) for true rib, every how many needles one
    is left out for mock rib."""

    kind: CuffKind = CuffKind.HUNG_HEM
    depth_mm: float | None = None
    rounds: int | None = None
    rib: tuple[int, int] = (1, 1)
    rib_to: RibEnd = RibEnd.CUFF
    remainder: Remainder = Remainder.REFUSE
    every: int = 3


@dataclass(frozen=True)
class LegGiven:
    """Either the height from the floor to the top of the sock, or the leg alone below the cuff,
    mm, or its rounds. `shaped` asks for stitch-cam shaping to the calf."""

    height_mm: float | None = None
    leg_mm: float | None = None
    rounds: int | None = None
    shaped: bool = False


class HeelKind(StrEnum):
    """How a heel is made."""

    SHORT_ROW = "short row"
    AFTERTHOUGHT = "afterthought"
    NONE = "none"


class Widening(StrEnum):
    """How raised needles come back into work."""

    WRAPPED_NEAR = "wrapped, lower at the carrier"
    WRAPPED_FAR = "wrapped, lower at the far end"
    TWO_DOWN_ONE_UP = "two down, one up"
    PLAIN = "no wrap"


@dataclass(frozen=True)
class CupGiven:
    """A heel or toe cup: needles kept in work at the narrowest (None: default), the widening,
    and how many needles (one or two) are raised in each of the first two rows."""

    kept: int | None = None
    widening: Widening = Widening.WRAPPED_NEAR
    first_raise: int = 1


@dataclass(frozen=True)
class HeelGiven:
    """The heel. `deep_kept` and `wedge_rounds` ask for a first shallow cup down to wider limits,
    with plain rounds between it and the main cup."""

    kind: HeelKind = HeelKind.SHORT_ROW
    cup: CupGiven = CupGiven()
    deep_kept: int | None = None
    wedge_rounds: int = 2


class ToeHalf(StrEnum):
    """Which half of the needles knits the toe."""

    HEEL = "heel half"
    INSTEP = "instep half"


class Closing(StrEnum):
    """How the toe is closed."""

    GRAFT = "graft"
    GATHER = "gather"


@dataclass(frozen=True)
class ToeGiven:
    """The toe; `cup` None means "as the heel". A gathered toe has no cup."""

    half: ToeHalf = ToeHalf.HEEL
    cup: CupGiven | None = None
    closing: Closing = Closing.GRAFT


class Drape(StrEnum):
    """How firm the fabric should be."""

    SOFT = "soft"
    MIDDLE = "middle"
    FIRM = "firm"


@dataclass(frozen=True)
class EaseGiven:
    """How much smaller than the foot the relaxed sock is, as shares (0.10 = 10 %)."""

    girth: float = 0.10
    length: float = 0.04


@dataclass(frozen=True)
class SockGiven:
    """The design. `needles` None lets the program choose among the machine's cylinders."""

    cuff: CuffGiven = CuffGiven()
    leg: LegGiven = LegGiven()
    heel: HeelGiven = HeelGiven()
    toe: ToeGiven = ToeGiven()
    ease: EaseGiven = EaseGiven()
    drape: Drape = Drape.MIDDLE
    needles: int | None = None


@dataclass(frozen=True)
class Order:
    """An order: everything the program may know before it plans a sock."""

    title: str
    wearer: WearerGiven
    machine: Machine
    yarns: tuple[YarnGiven, ...]
    swatches: tuple[SwatchGiven, ...] = ()
    finished: tuple[FinishedGiven, ...] = ()
    sock: SockGiven = field(default_factory=SockGiven)
    units: str = "cm"

    def yarn(self, role: str) -> YarnGiven:
        """The yarn that plays `role`; the main yarn where the role has none of its own."""
        for yarn in self.yarns:
            if yarn.role == role:
                return yarn
        return next(yarn for yarn in self.yarns if yarn.role == "main")
