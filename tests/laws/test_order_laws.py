"""Laws of the order file: every order survives writing and reading, every text gets an answer."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time
from functools import cache
from pathlib import Path
from typing import Any

import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from sockwright import machine
from sockwright.errors import OrderError, Problem
from sockwright.facts import table
from sockwright.i18n.printable import normal, unprintable
from sockwright.order import load_order, model, new_order, parse_order, to_toml

FOLDER = Path(__file__).parents[2] / "examples"

names = (
    st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), min_size=1, max_size=30)
    .map(lambda text: normal(text).strip())
    .filter(bool)
)


def mm(least: float, most: float) -> st.SearchStrategy[float]:
    """Lengths as a maker reads them, in tenths of a mm or in sixteenths of an inch."""
    metric = st.integers(int(least * 10) + 1, int(most * 10)).map(lambda tenths: tenths / 10)
    sixteenths = range(int(least / 25.4 * 16) + 1, int(most / 25.4 * 16) + 1)
    if not sixteenths:
        return metric
    inches = st.sampled_from(sixteenths).map(lambda part: round(part / 16 * 25.4, 9))
    return st.one_of(metric, inches)


def floats(least: float, most: float) -> st.SearchStrategy[float]:
    return st.floats(least, most, allow_nan=False)


def maybe(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | values


def few(values: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(values, max_size=3).map(tuple)


PROPORTIONS = {
    "ball_girth_mm": (90, 380, 0.7, 1.3),
    "instep_girth_mm": (90, 400, 0.7, 1.4),
    "heel_girth_mm": (120, 520, 1.0, 1.8),
    "ankle_girth_mm": (80, 420, 0.6, 1.5),
    "calf_girth_mm": (120, 700, 0.9, 2.2),
    "foot_breadth_mm": (30, 160, 0.24, 0.55),
    "heel_breadth_mm": (20, 120, 0.16, 0.4),
    "ankle_bone_height_mm": (15, 130, 0.12, 0.45),
}
"""The least and the most of each measure, mm, and the same over the foot's length."""


@st.composite
def feet(draw: st.DrawFn, shortest_mm: float) -> model.FootGiven:
    length = draw(mm(shortest_mm, 400))
    measures = {
        name: draw(maybe(mm(max(least, low * length), min(most, high * length))))
        for name, (least, most, low, high) in PROPORTIONS.items()
    }
    return model.FootGiven(
        length_mm=length,
        pencil_mm=draw(maybe(mm(0.2, 20))),
        load=draw(st.sampled_from(model.Load)),
        **measures,
    )


shoes = st.one_of(
    st.builds(model.ShoeSize, st.just(model.ShoeSystem.EU), floats(30, 55)),
    st.builds(model.ShoeSize, st.just(model.ShoeSystem.US_WOMEN), floats(2, 22)),
    st.builds(model.ShoeSize, st.just(model.ShoeSystem.UK_CHILD), st.just(10.0)),
)


@st.composite
def wearers(draw: st.DrawFn) -> model.WearerGiven:
    age = draw(maybe(floats(2, 120)))
    # The shortest adult's foot of ANSUR II has 198 mm; the thickest pencil takes 20 mm off.
    foot = feet(80 if age is not None and age < 18 else 218)
    return model.WearerGiven(
        name=draw(names),
        sex=draw(st.sampled_from(model.Sex)),
        age_years=age,
        stature_mm=draw(maybe(mm(500, 2500))),
        weight_kg=draw(maybe(st.integers(20, 3500).map(lambda tenths: tenths / 10))),
        shoe=draw(maybe(shoes)),
        left=draw(foot),
        right=draw(foot),
    )


@st.composite
def fibres(draw: st.DrawFn) -> tuple[tuple[str, float], ...]:
    first = draw(st.integers(0, 1000)) / 1000
    return draw(st.sampled_from([(), (("wool", 1.0),), (("wool", first), ("nylon", 1 - first))]))


def yarns(role: str) -> st.SearchStrategy[model.YarnGiven]:
    return st.builds(
        model.YarnGiven,
        role=st.just(role),
        name=names,
        tex=floats(100, 900).map(lambda tex: round(tex, 9)),
        tex_sd=maybe(floats(0, 50)),
        colour=names | st.just(""),
        fibres=fibres(),
        on_hand_g=maybe(st.integers(10, 50000).map(lambda tenths: tenths / 10)),
    )


all_yarns = st.tuples(yarns("main"), *(maybe(yarns(role)) for role in model.YARN_ROLES[1:])).map(
    lambda found: tuple(yarn for yarn in found if yarn is not None)
)

cylinders = st.lists(
    st.builds(
        machine.Cylinder,
        needles=st.integers(24, 200),
        diameter_mm=maybe(mm(40, 250)),
        dial=maybe(st.sampled_from(machine.DialKind)),
    ),
    min_size=1,
    max_size=4,
    unique_by=lambda cylinder: cylinder.needles,
).map(tuple)
mark_colours = (
    st.just("")
    | st.sampled_from(list(table("colours")))
    | st.integers(0, 0xFFFFFF).map(lambda paint: f"#{paint:06x}")
)
marks = st.tuples(
    *(
        st.just(mark) | st.builds(machine.Mark, st.just(mark.role), names, mark_colours)
        for mark in machine.DEFAULT_MARKS
    )
)
landmarks = st.lists(
    st.builds(machine.Landmark, names, floats(0, 12)), max_size=3, unique_by=lambda mark: mark.name
).map(tuple)
machines = st.builds(
    machine.Machine,
    name=names,
    turns=st.sampled_from(machine.Turning),
    cylinders=cylinders,
    forward=st.sampled_from(machine.Direction),
    heel_half=st.sampled_from(machine.HeelHalf),
    counter=st.builds(
        machine.Counter, st.sampled_from(machine.Counting), floats(0.1, 20), st.booleans()
    ),
    cam=st.builds(
        machine.CamNaming, names, st.booleans(), maybe(st.sampled_from([0.1, 0.25, 0.5, 1.0]))
    ),
    marks=marks,
    landmarks=landmarks,
)


def swatches(roles: list[str]) -> st.SearchStrategy[model.SwatchGiven]:
    wales = st.builds(model.Count, floats(20, 40), mm(80, 120))
    courses = st.builds(model.Count, floats(62, 90), mm(80, 120))
    amounts = st.integers(100, 5000).map(float)
    return st.builds(
        model.SwatchGiven,
        name=names,
        state=st.sampled_from(model.State),
        needles=st.integers(24, 200),
        yarn=st.sampled_from(roles),
        cam=maybe(floats(0, 1000)),
        wales=st.lists(wales, min_size=1, max_size=3).map(tuple),
        courses=few(courses),
        unravelled=few(st.builds(lambda n: model.Unravelled(n, round(n * 12.7, 9)), amounts)),
        weighed=few(st.builds(lambda n: model.Weighed(n, round(n * 0.003, 9)), amounts)),
        flat_widths_mm=few(mm(20, 1000)),
        rounds_length=few(st.builds(model.RoundsLength, floats(1, 500), mm(2, 3000))),
        stretch=few(mm(10, 400).map(lambda w: model.Stretch(w, round(w * 1.4, 9)))),
        ruler_mm=mm(0.2, 20),
        balance_g=st.sampled_from([0.001, 0.1, 1.0, 5.0]),
        date=st.just("") | st.dates().map(date.isoformat),
    )


@st.composite
def cuffs(draw: st.DrawFn) -> model.CuffGiven:
    kind = draw(st.sampled_from(model.CuffKind))
    given: dict[str, Any] = draw(
        st.one_of(
            st.just({}),
            st.builds(lambda depth: {"depth_mm": depth}, mm(3, 500)),
            st.builds(lambda rounds: {"rounds": rounds}, st.integers(1, 600)),
        )
    )
    if kind is model.CuffKind.TRUE_RIB:
        given["rib"] = (draw(st.integers(1, 20)), draw(st.integers(1, 20)))
        given["rib_to"] = draw(st.sampled_from(model.RibEnd))
    if kind is model.CuffKind.MOCK_RIB_HEM:
        given["every"] = draw(st.integers(2, 20))
    if kind in (model.CuffKind.TRUE_RIB, model.CuffKind.MOCK_RIB_HEM):
        given["remainder"] = draw(st.sampled_from(model.Remainder))
    return model.CuffGiven(kind, **given)


@st.composite
def socks(draw: st.DrawFn, counts: list[int]) -> model.SockGiven:
    needles = draw(maybe(st.sampled_from(counts)))
    most = (needles or max(counts)) // 2 - 2
    cups = st.builds(
        model.CupGiven,
        kept=maybe(st.integers(2, most - 1)),
        widening=st.sampled_from(model.Widening),
        first_raise=st.integers(1, 2),
    )
    cup = draw(cups)
    deep = draw(maybe(st.integers((cup.kept or 2) + 1, most)))
    closing = draw(st.sampled_from(model.Closing))
    own_cup = maybe(cups) if closing is model.Closing.GRAFT else st.none()
    leg = st.one_of(
        st.builds(model.LegGiven, height_mm=maybe(mm(30, 1000)), shaped=st.booleans()),
        st.builds(model.LegGiven, leg_mm=mm(1, 900)),
        st.builds(model.LegGiven, rounds=st.integers(0, 1200)),
    )
    kind = draw(st.sampled_from(model.HeelKind))
    heel = model.HeelGiven(kind)
    if kind is not model.HeelKind.NONE:
        heel = replace(heel, cup=cup)
    if kind is model.HeelKind.SHORT_ROW and deep is not None:
        heel = replace(heel, deep_kept=deep, wedge_rounds=draw(st.integers(1, 60)))
    return model.SockGiven(
        cuff=draw(cuffs()),
        leg=draw(leg),
        heel=heel,
        toe=model.ToeGiven(draw(st.sampled_from(model.ToeHalf)), draw(own_cup), closing),
        ease=model.EaseGiven(draw(floats(-0.10, 0.40)), draw(floats(-0.05, 0.12))),
        drape=draw(st.sampled_from(model.Drape)),
        needles=needles,
    )


@st.composite
def orders(draw: st.DrawFn) -> model.Order:
    on_bench = draw(machines)
    found = draw(all_yarns)
    roles = [yarn.role for yarn in found]
    return model.Order(
        title=draw(names),
        wearer=draw(wearers()),
        machine=on_bench,
        yarns=found,
        swatches=draw(few(swatches(roles))),
        sock=draw(socks([cylinder.needles for cylinder in on_bench.cylinders])),
        units=draw(st.sampled_from(["cm", "in"])),
    )


@given(orders())
def test_an_order_written_and_read_is_the_same_order_and_written_with_the_same_bytes(
    order: model.Order,
) -> None:
    text = to_toml(order)
    again = parse_order(text)
    assert again == order
    assert to_toml(again) == text


def test_the_examples_survive_too() -> None:
    for path in sorted(FOLDER.glob("*.toml")):
        order = load_order(path)
        assert parse_order(to_toml(order)) == order


# What a hand or a program may do to an order.


@cache
def sound_documents() -> list[dict[str, Any]]:
    texts = [path.read_text("utf-8") for path in sorted(FOLDER.glob("*.toml"))]
    texts += [to_toml(load_order(path)) for path in sorted(FOLDER.glob("*.toml"))]
    return [tomllib.loads(text) for text in [new_order(), *texts]]


scalars = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        [
            "251 cm",
            "-3 cm",
            "0 in",
            "nan cm",
            "1e9 m",
            "120 %",
            "-5 %",
            "EU 42",
            "9x9",
            "x",
            "32 in 10 cm",
            "251\ncm",
            "32 in",
            "9:30",
            "2025-13-01",
            "../..",
            "/dev/zero",
            "nul\0",
            "٣ cm",
        ]
    ),
    st.integers(),
    st.integers(-(10**400), 10**400),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)
junk = st.recursive(
    scalars,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.text(max_size=6) | st.sampled_from(["rounds", "name"]), inner, max_size=3
        )
    ),
    max_leaves=6,
)


def places(table: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every key and item of a document."""
    steps = table.items() if isinstance(table, dict) else enumerate(table)
    for step, value in steps:
        yield (*path, step)
        if isinstance(value, dict | list):
            yield from places(value, (*path, step))


def copied(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: copied(item) for key, item in value.items()}
    return [copied(item) for item in value] if isinstance(value, list) else value


@st.composite
def damaged(draw: st.DrawFn) -> dict[str, Any]:
    document: dict[str, Any] = copied(draw(st.sampled_from(sound_documents())))
    for _ in range(draw(st.integers(1, 4))):
        found = list(places(document))
        if not found:
            break
        *way, last = draw(st.sampled_from(found))
        parent: Any = document
        for step in way:
            parent = parent[step]
        deed = draw(st.sampled_from(["delete", "replace", "rename", "add"]))
        if deed == "delete":
            del parent[last]
        elif deed == "replace":
            parent[last] = draw(junk)
        elif isinstance(parent, dict):
            value = parent.pop(last) if deed == "rename" else draw(junk)
            parent[draw(st.text(max_size=8) | st.just(f"{last}s"))] = value
        else:
            parent.append(draw(junk))
    return document


def answer(text: str) -> model.Order | tuple[Problem, ...]:
    try:
        return parse_order(text, FOLDER)
    except OrderError as error:
        return error.problems


def assert_answered(text: str) -> None:
    """The text is an order, or is refused with problems that can be shown on a line and mended."""
    found = answer(text)
    if isinstance(found, model.Order):
        assert parse_order(to_toml(found)) == found
        return
    assert found
    for problem in found:
        assert problem.path
        assert problem.wrong
        assert problem.right
        assert not unprintable(str(problem))


@settings(max_examples=amount(66, 1600))
@given(damaged())
def test_a_damaged_order_is_an_order_or_is_refused_with_problems(document: dict[str, Any]) -> None:
    assert_answered(tomli_w.dumps(document))


@given(junk)
def test_junk_in_place_of_a_part_is_refused(value: Any) -> None:
    for part in ("wearer", "foot", "yarn", "machine", "swatch", "sock"):
        assert_answered(tomli_w.dumps({part: value}))


@given(st.text() | st.text(alphabet="[]{}=\".,#\n'a1-:\\u "))
def test_any_text_at_all_is_answered(text: str) -> None:
    assert_answered(text)


@given(st.data())
def test_a_cut_or_patched_text_is_answered(data: st.DataObject) -> None:
    text = data.draw(st.sampled_from([new_order(), *map(tomli_w.dumps, sound_documents())]))
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 40)))
    assert_answered(text[:start] + data.draw(st.text(max_size=5)) + text[end:])


def test_dates_and_times_are_among_the_junk() -> None:
    """The law above would say little if the library wrote no such values."""
    written = tomli_w.dumps({"a": date(2025, 1, 1), "b": datetime(2025, 1, 1), "c": time(1)})
    assert tomllib.loads(written)["c"] == time(1)
