"""What each field of a kept thing is called on its page, by the path of its key.

The other foot has the labels of both feet. A key without a label here is a fault, which a test
finds.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from sockwright.store.items import ItemKind
from sockwright.words.said import said

_NUMBER = re.compile(r"\[[0-9]+\]")
_ONE_FOOT = re.compile(r"\bfoot\.(left|right)\.")

LABELS: Mapping[ItemKind, Mapping[str, str]] = {
    ItemKind.PERSON: {
        "wearer": said("Who it is"),
        "wearer.name": said("Name"),
        "wearer.sex": said("Woman or man"),
        "wearer.age": said("Age"),
        "wearer.stature": said("Height"),
        "wearer.weight": said("Weight"),
        "wearer.shoe_size": said("Shoe size"),
        "foot": said("The feet"),
        "foot.length": said("Foot length"),
        "foot.ball_girth": said("Ball girth"),
        "foot.instep_girth": said("Instep girth"),
        "foot.heel_girth": said("Heel girth"),
        "foot.ankle_girth": said("Ankle girth"),
        "foot.calf_girth": said("Calf girth"),
        "foot.foot_breadth": said("Foot breadth"),
        "foot.heel_breadth": said("Heel breadth"),
        "foot.ankle_bone_height": said("Ankle bone height"),
        "foot.traced_with": said("Traced with a pencil of"),
        "foot.load": said("Weight on the foot"),
        "foot.left": said("Left foot"),
        "foot.right": said("Right foot"),
    },
    ItemKind.YARN: {
        "name": said("Name"),
        "colour": said("Colour"),
        "fineness": said("Fineness"),
        "plies": said("Plies"),
        "fineness_sd_tex": said("Error of the fineness, tex"),
        "fibres": said("Fibres"),
        "fibres.name": said("Fibre"),
        "fibres.value": said("Share"),
        "on_hand": said("On hand"),
        "used_up": said("Used up"),
    },
    ItemKind.MACHINE: {
        "name": said("Name"),
        "turns": said("What turns"),
        "cylinders": said("Cylinders"),
        "cylinders.needles": said("Needles"),
        "cylinders.diameter": said("Diameter"),
        "cylinders.dial": said("Dial"),
        "forward": said("Forward"),
        "heel_half": said("Heel half"),
        "counter": said("Row counter"),
        "counter.counts": said("It counts"),
        "counter.handle_turns_per_round": said("Handle turns for a round"),
        "counter.restarts": said("Set to zero at each section"),
        "cam": said("Stitch cam"),
        "cam.word": said("Settings are counted in"),
        "cam.larger_is_looser": said("A larger setting is looser"),
        "marks": said("Painted marks"),
        "marks.home": said("Home"),
        "marks.home.name": said("Home: its name"),
        "marks.home.colour": said("Home: its colour"),
        "marks.halfway": said("Halfway"),
        "marks.halfway.name": said("Halfway: its name"),
        "marks.halfway.colour": said("Halfway: its colour"),
        "marks.heel_limits": said("Heel limits"),
        "marks.heel_limits.name": said("Heel limits: their name"),
        "marks.heel_limits.colour": said("Heel limits: their colour"),
        "marks.instep_limits": said("Instep limits"),
        "marks.instep_limits.name": said("Instep limits: their name"),
        "marks.instep_limits.colour": said("Instep limits: their colour"),
        "marks.deep_limits": said("Deep limits"),
        "marks.deep_limits.name": said("Deep limits: their name"),
        "marks.deep_limits.colour": said("Deep limits: their colour"),
        "landmarks": said("Landmarks"),
        "landmarks.name": said("Landmark"),
        "landmarks.value": said("Its hour"),
        "serviced": said("Last serviced"),
    },
    ItemKind.SWATCH: {
        "name": said("Name"),
        "state": said("State"),
        "needles": said("Needles"),
        "cam": said("Cam setting"),
        "date": said("Knitted on"),
        "ruler": said("Division of the ruler"),
        "balance": said("Step of the balance"),
        "wales": said("Wales"),
        "courses": said("Courses"),
        "unravelled": said("Unravelled yarn"),
        "unravelled.rounds": said("Rounds"),
        "unravelled.loops": said("Loops"),
        "unravelled.length": said("Length of yarn"),
        "weighed": said("Weighed pieces"),
        "weighed.rounds": said("Rounds"),
        "weighed.loops": said("Loops"),
        "weighed.mass": said("Mass"),
        "flat_width": said("Width laid flat"),
        "rounds_length": said("Length of rounds"),
        "rounds_length.rounds": said("Rounds"),
        "rounds_length.length": said("Their length"),
        "stretch": said("Stretch"),
        "stretch.relaxed": said("Lying free"),
        "stretch.stretched": said("Stretched by hand"),
        "yarn_id": said("Yarn"),
        "machine_id": said("Machine"),
    },
    ItemKind.DESIGN: {
        "name": said("Name"),
        "needles": said("Needles"),
        "drape": said("Firmness"),
        "cuff": said("Cuff"),
        "cuff.kind": said("Kind of cuff"),
        "cuff.depth": said("Depth"),
        "cuff.rounds": said("Rounds of the cuff"),
        "cuff.rib": said("Rib"),
        "cuff.rib_to": said("Rib goes down to"),
        "cuff.remainder": said("Needles left over"),
        "cuff.every": said("Needle out of work, every"),
        "leg": said("Leg"),
        "leg.height": said("Height from the floor"),
        "leg.leg": said("Leg alone"),
        "leg.rounds": said("Rounds of the leg"),
        "leg.shaped": said("Shaped to the calf"),
        "heel": said("Heel"),
        "heel.kind": said("Kind of heel"),
        "heel.kept": said("Needles kept"),
        "heel.widening": said("Widening"),
        "heel.first_raise": said("Raised at first"),
        "heel.deep_kept": said("Kept by a first cup"),
        "heel.wedge_rounds": said("Rounds between the cups"),
        "toe": said("Toe"),
        "toe.half": said("Half that knits it"),
        "toe.closing": said("Closing"),
        "toe.kept": said("Needles kept"),
        "toe.widening": said("Widening"),
        "toe.first_raise": said("Raised at first"),
        "ease": said("Ease"),
        "ease.girth": said("Ease of the girth"),
        "ease.length": said("Ease of the length"),
    },
    ItemKind.NOTE: {
        "text": said("Note"),
        "about": said("About"),
        "about_id": said("About"),
        "about_kind": said("About"),
    },
}

MORE: Mapping[ItemKind, Mapping[str, str]] = {
    ItemKind.YARN: {"fibres": said("One more fibre")},
    ItemKind.MACHINE: {
        "cylinders": said("One more cylinder"),
        "landmarks": said("One more landmark"),
    },
    ItemKind.SWATCH: {
        "wales": said("One more count of wales"),
        "courses": said("One more count of courses"),
        "unravelled": said("One more unravelled piece"),
        "weighed": said("One more weighed piece"),
        "flat_width": said("One more width"),
        "rounds_length": said("One more length"),
        "stretch": said("One more stretch"),
    },
}
"""What the button says that adds a row."""

FOLDED = frozenset({(ItemKind.PERSON, "foot.left"), (ItemKind.PERSON, "foot.right")})
"""What is closed as long as it says nothing."""

NAMED = frozenset(
    {
        (ItemKind.PERSON, "wearer.name"),
        (ItemKind.YARN, "name"),
        (ItemKind.MACHINE, "name"),
        (ItemKind.SWATCH, "name"),
    }
)
"""The names that an order can do without, and a kept thing cannot."""

LEFT_OUT = frozenset({(ItemKind.SWATCH, "yarn")})
"""Keys that a kept thing has not: its yarn is a kept one."""


def plain_path(path: str) -> str:
    """The path of a key: without the numbers of rows and the side of the foot."""
    return _ONE_FOOT.sub("foot.", _NUMBER.sub("", path))


def label(kind: ItemKind, path: str) -> str:
    """What a field is called; KeyError for one that is not known."""
    return LABELS[kind][plain_path(path)]


def full_label(kind: ItemKind, path: str) -> str:
    """What it is called where it does not stand beneath its heading: "Left foot: Foot length".

    A path that is not known is told as it is.
    """
    labels = LABELS.get(kind, {})
    own = labels.get(plain_path(path), path)
    side = _ONE_FOOT.search(path)
    number = _NUMBER.search(path)
    if side:
        return said("{of}: {what}", of=labels[f"foot.{side[1]}"], what=own)
    if number is None:
        return own
    of, place = labels.get(path[: number.start()], path), number[0].strip("[]")
    if number.end() == len(path):
        return said("{of} {n}", of=of, n=int(place))
    return said("{of} {n}: {what}", of=of, n=int(place), what=own)
