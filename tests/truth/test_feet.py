"""Feet and shoe sizes against what surveys and shoe charts print (authorities/feet.toml)."""

from typing import Any

import numpy as np
import pytest

from foot_sources import authority, records, rows
from sockwright.estimates import Estimate
from sockwright.measure.children import growth_mm, length_by_age
from sockwright.measure.foot import estimate_foot
from sockwright.measure.population import adult_feet, adult_shoe_sizes, shoe_foot_length, shoe_size
from sockwright.order.model import FootGiven, Sex, ShoeSize, ShoeSystem, WearerGiven

STANDINGS = {"published", "derived", "common practice", "from memory", "assumption"}


def exactly(known: dict[str, float]) -> dict[str, Estimate]:
    """Readings with no measuring error."""
    return {name: Estimate(value, 0.0, "mm") for name, value in known.items()}


def test_every_printed_value_has_its_source() -> None:
    feet = authority("feet")
    blocks = [block for kind in feet if kind != "sources" for block in feet[kind]]
    assert {block["source"] for block in blocks} == set(feet["sources"])
    assert {block["standing"] for block in blocks} <= STANDINGS


@pytest.mark.parametrize(("row", "block"), rows("survey"))
def test_means_and_sds_of_adults(row: dict[str, Any], block: dict[str, Any]) -> None:
    found = adult_feet(Sex(row["sex"])).predict({})[row["of"]]
    # Half a unit of the last printed digit, and no more than the row allows.
    assert found.value == pytest.approx(row["mean"], abs=block["tolerance"])
    assert found.sd == pytest.approx(row["sd"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("predicted"))
def test_one_measure_from_others(row: dict[str, Any], block: dict[str, Any]) -> None:
    found = adult_feet(Sex(row["sex"])).predict(exactly(row["known"]))[row["of"]]
    assert found.value == pytest.approx(row["expected"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("residual"))
def test_what_remains_unknown(row: dict[str, Any], block: dict[str, Any]) -> None:
    known = exactly(dict.fromkeys(row["known"], 250.0))
    found = adult_feet(Sex(row["sex"])).predict(known)[row["of"]]
    assert found.sd == pytest.approx(row["sd"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("correlation"))
def test_correlations(row: dict[str, Any], block: dict[str, Any]) -> None:
    survey = adult_feet(Sex(row["sex"]))
    one, other = (survey.columns.index(name) for name in row["pair"])
    found = survey.cov[one, other] / np.sqrt(survey.cov[one, one] * survey.cov[other, other])
    assert found == pytest.approx(row["expected"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("toe_zone"))
def test_toe_zone(row: dict[str, Any], block: dict[str, Any]) -> None:
    survey = adult_feet(Sex(row["sex"])).predict({})
    found = survey["length"].value - survey["ball_length"].value
    assert found == pytest.approx(row["expected"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("heel_stretch"))
def test_a_tube_for_the_ball_must_stretch_over_the_heel(
    row: dict[str, Any], block: dict[str, Any]
) -> None:
    survey = adult_feet(Sex(row["sex"])).predict({})
    found = survey["heel_girth"].value / (row["tube_share"] * survey["ball_girth"].value)
    assert found == pytest.approx(row["expected"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("record"))
def test_a_flyers_record(row: dict[str, Any], block: dict[str, Any]) -> None:
    flyers = records("usaf1967_feet_57")
    at = int(np.flatnonzero(flyers["id"] == row["id"])[0])
    assert {key: flyers[key][at] for key in row} == row
    foot = estimate_foot(
        WearerGiven("winch operator", Sex.MAN),
        FootGiven(length_mm=row["L"], ball_girth_mm=row["ball"]),
    )
    for name, column in (("instep_girth", "instepG"), ("heel_girth", "heelankle")):
        found = foot.measures()[name].estimate
        assert abs(found.value - row[column]) < 2.0 * found.sd


@pytest.mark.parametrize(("row", "block"), rows("children_by_age"))
def test_childrens_feet_by_age(row: dict[str, Any], block: dict[str, Any]) -> None:
    found = length_by_age(row["age"] + 0.5, Sex(row["sex"]))
    assert found.value == pytest.approx(row["mean"], abs=block["tolerance"])
    assert found.sd == pytest.approx(row["sd"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("child"))
def test_a_childs_foot(row: dict[str, Any], block: dict[str, Any]) -> None:
    wearer = WearerGiven("cook's small son", age_years=row["age"], weight_kg=row.get("weight"))
    foot = estimate_foot(wearer, FootGiven(length_mm=row["length"]))
    found = foot.measures()[row["of"]].estimate.value
    assert found == pytest.approx(row["expected"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("growth"))
def test_a_child_grows(row: dict[str, Any], block: dict[str, Any]) -> None:
    later = row["length"] + growth_mm(row["age"], Sex(row["sex"]), row["months"])
    assert later == pytest.approx(row["expected"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("shoe_length"))
def test_the_foot_of_a_shoe_size(row: dict[str, Any], block: dict[str, Any]) -> None:
    found = shoe_foot_length(ShoeSize(ShoeSystem(row["system"]), row["size"]))
    assert found.value == pytest.approx(row["mm"], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("adult_sizes"))
def test_the_shoe_sizes_of_a_foot(row: list[float], block: dict[str, Any]) -> None:
    found = list(adult_shoe_sizes(row[0]).values())  # EU, UK, US men, US women
    assert found == pytest.approx(row[1:], abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("child_sizes"))
def test_the_shoe_sizes_of_a_childs_foot(row: list[float], block: dict[str, Any]) -> None:
    length_mm, eu, *others = row
    assert shoe_size(length_mm, ShoeSystem.EU_CHILD) == pytest.approx(eu, abs=block["eu_tolerance"])
    systems = (ShoeSystem.UK_CHILD, ShoeSystem.US_CHILD)
    for size, system in zip(others, systems, strict=False):
        assert shoe_size(length_mm, system) == pytest.approx(size, abs=block["tolerance"])


@pytest.mark.parametrize(("row", "block"), rows("mondopoint"))
def test_mondopoint(row: dict[str, Any], block: dict[str, Any]) -> None:
    assert shoe_size(row["mm"], ShoeSystem.MONDOPOINT) == row["size"]


@pytest.mark.parametrize(("row", "block"), rows("traced"))
def test_a_traced_foot(row: dict[str, Any], block: dict[str, Any]) -> None:
    given = FootGiven(length_mm=row["outline"], pencil_mm=row["pencil"])
    foot = estimate_foot(WearerGiven("dog handler", Sex.WOMAN), given)
    assert foot.length.estimate.value == pytest.approx(row["length"], abs=block["tolerance"])
    assert foot.length.source == "measured"
