"""The reference names every key of the order file and no other; a new order can be used."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import pytest

from sockwright.errors import OrderError
from sockwright.facts.feet import foot_measures
from sockwright.machine import Cylinder, DialKind, Direction
from sockwright.order import model, new_order, parse_order
from sockwright.order.reference import known_keys, main, renewed

PAGE = Path(__file__).parents[2] / "docs" / "order.md"


def documented() -> set[str]:
    """The paths of all keys in the page's tables."""
    keys, headings = set(), [""]
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        if line.startswith("### "):
            headings = re.findall(r"`\[(.+?)\]`", line) or [""]
        elif row := re.match(r"\| `(.+?)` \|", line):
            keys |= {f"{heading}.{row[1]}".lstrip(".") for heading in headings}
    return keys


def test_every_key_is_documented_and_every_documented_key_is_read() -> None:
    assert documented() == set(known_keys())


def test_the_page_is_up_to_date() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert renewed(page) == page, "run: python -m sockwright.order.reference docs/order.md"


def test_a_page_without_marks_is_refused(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("no marks here", "utf-8")
    with pytest.raises(ValueError, match="has no"):
        main(str(page))
    assert page.read_text("utf-8") == "no marks here"


def test_every_word_of_the_choices_is_documented() -> None:
    page = PAGE.read_text(encoding="utf-8")
    kinds = [
        model.CuffKind,
        model.RibEnd,
        model.Remainder,
        model.Widening,
        model.State,
        model.Drape,
    ]
    missing = [word for kind in kinds for word in kind if f'"{word}"' not in page]
    assert not missing


def test_every_value_an_order_may_hold_has_its_key() -> None:
    """As many keys as fields, part by part: nothing in the model is out of a maker's reach."""
    keys = known_keys()
    parts = {"foot.left": model.FootGiven, "sock.cuff": model.CuffGiven, "sock.leg": model.LegGiven}
    for part, kind in parts.items():
        below = [key for key in keys if re.fullmatch(rf"{re.escape(part)}\.\w+", key)]
        held = {one.name for one in fields(kind)}
        if kind is model.FootGiven:
            held = held - {"measures_mm"} | foot_measures().keys()
        assert len(below) == len(held), part


def test_the_messages_shown_in_the_page_are_the_real_ones() -> None:
    text = new_order().replace("\nname = ", "\nnmae = ", 1).replace('"40 in 10 cm"', '"many"')
    told: set[str] = set()
    for right, wrong in (("24.2 cm", "251 cm"), ("22.4 cm", "9.2 cm")):
        with pytest.raises(OrderError) as caught:
            parse_order(text.replace(right, wrong))
        told |= set(str(caught.value).splitlines())
    page = PAGE.read_text("utf-8")
    assert told == {line[4:] for line in page.splitlines() if re.match(r"    \S+: ", line)}


def test_a_new_order_can_be_read_as_it_stands() -> None:
    order = parse_order(new_order())
    assert order.wearer.left.length_mm == 242.0
    assert order.swatches[0].wales[0] == model.Count(31.0, 100.0)


def test_everything_asleep_in_a_new_order_is_right_too() -> None:
    """Waking every commented key but the machine's file gives an order; a key that is said twice
    then is said by the line that slept."""
    order = parse_order(awake(new_order()))
    assert order.wearer.left.length_mm == 245.0
    assert order.wearer.left.pencil_mm == 7.0
    assert order.yarn("heel").name == "heel yarn"
    assert order.machine.cylinders[1] == Cylinder(72, dial=DialKind.HALF)
    assert order.machine.forward is Direction.CLOCKWISE
    assert order.machine.counter.handle_turns_per_round == 2.0
    assert order.swatches[0].cam == 14.0
    assert order.sock.needles == 72
    assert (order.sock.cuff.kind, order.sock.cuff.rib) == (model.CuffKind.TRUE_RIB, (3, 1))
    assert order.sock.cuff.remainder is model.Remainder.HOME
    assert order.sock.ease == model.EaseGiven()


def awake(text: str) -> str:
    """The text with its sleeping keys awake."""
    tables: dict[str, dict[str, str]] = {"": {}}
    table = tables[""]
    for line in text.splitlines():
        found = re.match(r"(?:# )?(?:(\[.+?\]+)|([a-z_]+) = )", line)
        if found is None or found[2] == "file":
            continue
        if found[1]:
            table = tables.setdefault(found[1], {})
        else:
            table[found[2]] = line.removeprefix("# ")
    return "\n".join("\n".join([name, *keys.values()]) for name, keys in tables.items())
