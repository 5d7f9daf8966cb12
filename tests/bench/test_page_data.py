"""What the page beside the machine is given: whole, small, and true to the sock's counts."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache

import pytest

from bench_texts import sentence, text_of
from orders import order
from sockwright import steps as op
from sockwright.bench.counting import sock_of
from sockwright.bench.log import FIRST, SECOND
from sockwright.bench.mishaps import MISHAPS, turns_of_advice
from sockwright.bench.page_data import bench_data, runs, sock_name
from sockwright.bench.page_texts import PLURALS, WORDS
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.cylinder.bench import bench_cylinder_svg, moving_cylinder_svg
from sockwright.drawing.cylinder.view import view_at
from sockwright.drawing.tracing.figures import FIGURES
from sockwright.i18n import ENGLISH, locale_of
from sockwright.needlebed.execute import execute
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan, make_plan

MOST_BYTES = 60_000
FIELD = re.compile(r"\{(\w+)\}")


@cache
def plan(needles: int = 60) -> SockPlan:
    return make_plan(order(needles, wale_mm=3.3 * 60 / needles)).first


@cache
def data(which: str = FIRST) -> dict:
    return json.loads(json.dumps(bench_data(plan(), which)))


def rows(name: str) -> list[dict]:
    columns = data()[f"{name}_columns"]
    return [dict(zip(columns, row, strict=True)) for row in data()[f"{name}s"]]


def text(places: list[int]) -> str:
    return text_of(data(), places)


def expanded(letters: str) -> str:
    return re.sub(r"(\d+)(.)", lambda found: int(found[1]) * found[2], letters)


def test_it_is_small() -> None:
    whole = json.dumps(bench_data(plan(), FIRST), separators=(",", ":"), ensure_ascii=False)
    assert len(whole.encode()) < MOST_BYTES


def test_the_count_steps_are_those_of_the_sock() -> None:
    sock = sock_of(plan())
    for given, count_step in zip(rows("beat"), sock.count_steps, strict=True):
        assert given["instruction"] == count_step.instruction
        assert (given["count"], given["gap"], given["bed"]) == (
            count_step.count,
            count_step.gap,
            count_step.bed,
        )
        assert given["used_mm"] == pytest.approx(count_step.used_mm, abs=0.5)
        assert given["length_mm"] == pytest.approx(count_step.length_mm, abs=0.05)
        of_instruction = rows("instruction")[count_step.instruction - 1]
        assert (of_instruction["kind"], of_instruction["way"]) == (count_step.kind, count_step.way)
        assert data()["sections"][of_instruction["section"]] == count_step.section


def test_the_looks_of_the_bed_come_back() -> None:
    beds = tuple(tuple(map(expanded, bed)) for bed in data()["beds"])
    assert beds == sock_of(plan()).beds
    assert runs("wwworrwo") == "3wo2rwo"


def test_every_sentence_of_the_instructions_is_there() -> None:
    for given, each in zip(rows("instruction"), instructions(plan()), strict=True):
        said = [text(given["head"]), text(given["text"]), *map(text, given["items"])]
        told = re.sub(r"^\d+\. ", "", each.text, flags=re.MULTILINE).split("\n")
        assert " ".join(told) in " ".join(filter(None, said))


def test_a_check_has_its_items_to_tick() -> None:
    steps = plan().program.steps
    for given, each in zip(rows("instruction"), instructions(plan()), strict=True):
        check = isinstance(steps[each.steps[0] - 1], op.Check)
        assert bool(given["items"]) == check


def test_what_hangs_follows_the_program() -> None:
    """Main weight, heel weights and spring by the steps themselves."""
    on = {"main": False, "heel": False, "spring": False}
    for given, each in zip(rows("instruction"), instructions(plan()), strict=True):
        for step in (plan().program.steps[number - 1] for number in each.steps):
            if isinstance(step, op.Weigh | op.Unweigh):
                on[step.kind.value] = isinstance(step, op.Weigh)
            elif isinstance(step, op.HeelSpring):
                on["spring"] = step.on
            elif isinstance(step, op.TakeOff):
                on["main"] = False
        bits = (on["main"], 2 * on["heel"], 4 * on["spring"])
        assert given["standing"] == sum(bits), each.text


def test_each_change_of_a_weight_is_advised_once() -> None:
    steps = plan().program.steps
    kinds = op.Weigh | op.Unweigh | op.HeelSpring | op.Ribber | op.SetCam
    assert len(data()["advice"]) == sum(isinstance(step, kinds) for step in steps)
    assert [number for number, _, _ in data()["advice"]] == sorted(
        n for n, _, _ in data()["advice"]
    )
    assert {f"advice.{kind}" for _, kind, _ in data()["advice"]} <= set(data()["words"])


@pytest.mark.parametrize(
    ("factor", "setting", "told"),
    [
        (1.0, None, ["cam_swatch", ""]),
        (1.04, None, ["cam_looser", ""]),
        (0.97, None, ["cam_firmer", ""]),
        (1.04, 12.5, ["cam_to", "number 12.5"]),
    ],
)
def test_advice_on_the_stitch_cam_names_its_setting(
    factor: float, setting: float | None, told: list
) -> None:
    steps = tuple(
        replace(step, factor=factor, setting=setting) if isinstance(step, op.SetCam) else step
        for step in plan().program.steps
    )
    made = replace(plan(), program=replace(plan().program, steps=steps))
    given = [[kind, number] for _, kind, number in turns_of_advice(made, instructions(plan()))]
    assert told in given


def test_yarn_of_both_socks_adds_up_to_the_pair() -> None:
    for name, pair in plan().pair_use.items():
        first, second = (data(which)["yarns"][name] for which in (FIRST, SECOND))
        for yarn in (first, second):
            total = yarn["earlier_g"] + yarn["sock_g"] + yarn["later_g"]
            assert total == pytest.approx(pair.mass.value, abs=0.02)
        assert first["earlier_g"] == second["later_g"] == 0


def test_rounds_that_may_vary_are_whole_rounds() -> None:
    steps = plan().program.steps
    for given, each in zip(rows("instruction"), instructions(plan()), strict=True):
        assert given["may_vary"] == any(isinstance(steps[n - 1], op.Rounds) for n in each.steps)


def test_every_way_back_can_be_filled_in() -> None:
    fields = {"carrier", "working", "raised", "waits"}
    fields |= {"heel_first", "heel_last", "before_heel", "after_heel"}
    steps = [step for one in MISHAPS.values() for steps in one.ways.values() for step in steps]
    assert {name for step in steps for name in FIELD.findall(step)} <= fields
    assert set(MISHAPS) == set(FIGURES)


def test_a_word_stands_once() -> None:
    assert not set(WORDS) & set(PLURALS)
    assert set(data()["words"]) == set(WORDS) | set(PLURALS)


def test_the_page_speaks_the_reader_s_language() -> None:
    german = bench_data(plan(), FIRST, locale_of("de"))
    assert german["section_names"] != data()["section_names"]
    assert german["beats"] == bench_data(plan(), FIRST)["beats"]


def test_a_sock_is_called_by_its_turn_where_one_serves_both_feet() -> None:
    assert sock_name(plan(), SECOND) == "second sock"


@pytest.mark.parametrize("needles", [24, 37, 60, 101, 200])
def test_the_cylinder_has_every_needle_to_be_moved(needles: int) -> None:
    program = op.Program(needles, (), (op.HangScrap(op.Section.SET_UP),))
    view = view_at(execute(program), plan().order.machine, 1)
    drawing = ET.fromstring(moving_cylinder_svg(view, (), Theme.PAGE, ENGLISH, 74.0))
    numbers = [part.get("data-n") for part in drawing.iter() if part.get("class") == "n w"]
    assert numbers == [str(n) for n in range(1, needles + 1)]
    (root,) = [part for part in drawing.iter() if part.get("class") == "bench-cylinder"]
    shapes = [root.get(f"data-{name}") for name in ("w", "r", "o", "raise", "lower", "wrap")]
    assert all(shapes)
    assert len(set(shapes)) == len(shapes)


def test_the_cylinder_holds_what_the_script_turns() -> None:
    drawing = ET.fromstring(bench_cylinder_svg(plan()))
    classes = {part.get("class") for part in drawing.iter()}
    assert {"bench-ring", "bench-carrier", "bench-touches", "way forward", "way reverse"} <= classes


@pytest.mark.parametrize("needles", [24, 60, 100])
def test_the_halves_are_named_in_german_too(needles: int) -> None:
    drawn = bench_cylinder_svg(plan(needles), Theme.PAGE, locale_of("de"))
    assert "Fersenhälfte" in drawn
    assert "Risthälfte" in drawn


def test_lengths_are_told_in_the_units_of_who_reads() -> None:
    inches = plan().in_units("in")
    for language in ("en", "de"):
        inch_data = bench_data(inches, FIRST, locale_of(language))
        told = [sentence(inch_data, place) for place in range(len(inch_data["sentences"]))]
        assert any(" 6 in" in one for one in told)
        assert not any(re.search(r"\d.cm", one) for one in told)
