"""The table of foot measures is whole, feeds everything, and the guide names every file of one."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from sockwright.drawing.tracing.foot import foot_plan_svg, foot_side_svg
from sockwright.facts import STANDINGS
from sockwright.facts.feet import Measure, foot_measures
from sockwright.i18n import locale_of
from sockwright.measure.foot import estimate_foot
from sockwright.measure.foot_measures import Foot
from sockwright.measure.population import adult_feet
from sockwright.order.model import FootGiven, Sex, WearerGiven
from sockwright.order.reference import known_keys
from sockwright.plan.data import schema_text
from sockwright.store.items import ItemKind
from sockwright.web.forms.texts import label

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "sockwright"
GUIDE = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")
SECTION = GUIDE.split("## How to add a foot measure")[1].split("\n## ")[0]
NAMED = set(re.findall(r"^\d\. `([^`]+)`", SECTION, re.MULTILINE))
MEASURES = foot_measures()
ATTRIBUTES = {name for name in MEASURES if hasattr(Foot, name)}
WIDE_MM = {"side": (-44.0, 270.0), "plan": (-75.0, 100.0)}
"""From where to where a measure may stand across the foot of the drawing."""

every_measure = pytest.mark.parametrize("one", MEASURES.values(), ids=MEASURES)


@every_measure
def test_a_measure_says_what_it_is_and_where_its_numbers_come_from(one: Measure) -> None:
    assert all((one.label, one.short, one.meaning))
    facts = [*one.ranges.values(), one.error, *one.swells.values()]
    facts += [fact for fact in (one.traced, one.children and one.children.times) if fact]
    assert [fact for fact in facts if not fact.source.strip() or fact.number <= 0] == []
    assert {fact.standing for fact in facts} <= STANDINGS.keys()
    assert one.ranges[f"{one.name}_least"].number < one.ranges[f"{one.name}_most"].number
    assert one.swells.keys() in ({"man", "woman"}, set())
    assert one.adults is None or (one.adults.source and one.adults.standing in STANDINGS)


@every_measure
def test_the_limits_have_room_for_grown_ups(one: Measure) -> None:
    """Limits keep slips out, not people: the means of women and men lie within, by 3 sds."""
    for sex in (Sex.WOMAN, Sex.MAN):
        usual = adult_feet(sex).predict({})[one.name]
        least, most = (one.ranges[f"{one.name}_{end}"].number for end in ("least", "most"))
        assert least < usual.value - 3 * usual.sd < usual.value + 3 * usual.sd < most


@every_measure
@pytest.mark.parametrize("language", ["en", "de"])
def test_a_measure_is_numbered_in_a_drawing(one: Measure, language: str) -> None:
    drawings = {"side": foot_side_svg, "plan": foot_plan_svg}
    assert one.drawn, "it stands in no drawing"
    for view, svg in drawings.items():
        text = svg(locale_of(language))
        assert (f">{one.number}</text>" in text) == (view in one.drawn)
        assert (
            view not in one.drawn
            or not (name := one.drawn[view].name)
            or (f">{locale_of(language).render(name)}</text>" in text)
        )


@every_measure
def test_a_measure_stands_within_its_drawing(one: Measure) -> None:
    for view, drawn in one.drawn.items():
        low, high = WIDE_MM[view]
        points = (*drawn.line, drawn.label, *(point for lead in drawn.leads for point in lead))
        assert all(low <= across <= high for across, _ in points)
        upright_or_level = any(len({point[way] for point in drawn.line}) == 1 for way in (0, 1))
        assert drawn.tape or upright_or_level, "arrowheads stand upright or level"


def test_the_table_feeds_order_form_schema_and_both_kinds_of_foot() -> None:
    names = MEASURES.keys()
    assert {f"foot.{name}" for name in names} <= set(known_keys())
    assert {f"foot.left.{name}" for name in names} <= set(known_keys())
    assert [label(ItemKind.PERSON, f"foot.{name}") for name in names] == [
        one.label.capitalize() for one in MEASURES.values()
    ]
    foot = json.loads(schema_text())["$defs"]["plan"]["properties"]["foot"]
    assert foot["properties"].keys() == {*names, "notes"} == set(foot["required"])
    for wearer in (WearerGiven("cook"), WearerGiven("son", age_years=9.0)):
        assert estimate_foot(wearer, FootGiven(length_mm=210.0)).measures().keys() == names


def test_a_foot_knows_no_other_measure() -> None:
    with pytest.raises(TypeError, match="toe_count_mm"):
        FootGiven(toe_count_mm=5.0)


def test_the_guide_names_every_file_that_knows_a_measure() -> None:
    """Those that no formula of the sock names stand in no other file of the package."""
    free = MEASURES.keys() - ATTRIBUTES - {"foot_breadth", "ankle_bone_height"}
    assert free
    files = [path for path in PACKAGE.rglob("*") if path.suffix in {".py", ".toml", ".json", ".po"}]
    found = {
        path.relative_to(PACKAGE).as_posix()
        for path in files
        if any(name in path.read_text(encoding="utf-8") for name in free)
    }
    assert found <= NAMED
    assert all((PACKAGE / name).is_file() for name in NAMED)
