"""A choice in an address: there and back, with sliders, and whatever else is typed there."""

from __future__ import annotations

from urllib.parse import parse_qsl

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sockwright.web.plan.choices import SLIDERS, query_of, read_request
from sockwright.workshop.answers import Choice

ids = st.uuids(version=4).map(str)
IFS = {
    "drape": st.sampled_from(["soft", "middle", "firm"]),
    "ease": st.fixed_dictionaries(
        {}, optional={"girth": st.just("8 %"), "length": st.just("3.5 %")}
    ),
    "cuff": st.fixed_dictionaries({"kind": st.just("true rib")}, optional={"rib": st.just("3x1")}),
    "leg": st.fixed_dictionaries({}, optional={"rounds": st.integers(1, 90)}),
    "heel": st.fixed_dictionaries({"kept": st.integers(4, 12)}),
}


@st.composite
def choices(draw: st.DrawFn) -> Choice:
    what_if = draw(st.fixed_dictionaries({}, optional=IFS))
    return Choice(
        person=draw(ids),
        machine=draw(ids),
        yarns={"main": draw(ids), **draw(st.dictionaries(st.just("heel"), ids))},
        design=draw(st.none() | ids),
        swatches=tuple(draw(st.lists(ids, unique=True, max_size=4))),
        needles=draw(st.none() | st.integers(24, 200)),
        title=draw(st.text("abcÄß &=%+;ö", max_size=20)).strip(),
        units=draw(st.sampled_from(["cm", "in"])),
        what_if={key: value for key, value in what_if.items() if value},
    )


@given(choices(), st.none() | st.integers(24, 200))
def test_a_choice_comes_back_from_its_query(choice: Choice, beside: int | None) -> None:
    query = query_of(choice, beside)
    request = read_request(parse_qsl(query), "cm")
    assert request.choice(request.swatches) == choice
    assert request.beside == beside
    assert request.swatches_chosen


@given(choices())
def test_swatches_may_be_left_to_be_found(choice: Choice) -> None:
    request = read_request(parse_qsl(query_of(choice, fitting=True)), "cm")
    assert not request.swatches_chosen
    assert request.swatches == ()


def test_a_slider_says_something_only_where_it_was_moved() -> None:
    request = read_request(
        [("try.girth", "12"), ("was.girth", "10"), ("try.leg", "22"), ("was.leg", "22")], "cm"
    )
    assert request.choice(()).what_if == {"ease": {"girth": "12 %"}}


def test_a_slider_holds_instead_of_what_was_asked_before() -> None:
    given_ = [("ease.girth", "13 %"), ("try.girth", "12"), ("was.girth", "13")]
    assert read_request(given_, "cm").choice(()).what_if == {"ease": {"girth": "12 %"}}


@pytest.mark.parametrize("slider", SLIDERS, ids=lambda one: one.name)
@pytest.mark.parametrize("units", ["cm", "in"])
def test_every_slider_writes_what_the_order_reads(slider: object, units: str) -> None:
    from sockwright.errors import Problem
    from sockwright.grammar.declare import Place
    from sockwright.order.sock_part import SOCK
    from sockwright.web.plan.choices import Slider

    assert isinstance(slider, Slider)
    for value in slider.ranges[units][:2]:
        request = read_request([(f"try.{slider.name}", f"{value:g}")], units)
        found: list[Problem] = []
        SOCK.read(request.choice(()).what_if, Place("sock", found))
        assert found == []


@given(st.lists(st.tuples(st.text(max_size=30), st.text(max_size=40)), max_size=12))
def test_whatever_is_typed_there_is_no_error(items: list[tuple[str, str]]) -> None:
    request = read_request(items, "cm")
    assert request.units in ("cm", "in")
    request.choice(())
