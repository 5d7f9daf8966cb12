"""What becomes of the measures of a child's foot, given and not given."""

from dataclasses import replace

from sockwright.measure.children import growth_mm, length_by_age
from sockwright.measure.foot import estimate_foot
from sockwright.order.model import FootGiven, Sex, ShoeSize, ShoeSystem, WearerGiven

SON = WearerGiven("cook's small son", Sex.MAN, age_years=6.0)
MEASURED = FootGiven(length_mm=186.0)


def test_an_age_alone_gives_a_foot() -> None:
    foot = estimate_foot(SON, FootGiven())
    assert foot.length.estimate.value == 185.9
    assert foot.length.note == (
        "estimated from the age of 6, by a survey of children's feet (Snyder et al. 1977)"
    )
    assert {measure.source for measure in foot.measures().values()} == {"estimated"}


def test_the_surest_word_on_the_length_is_taken() -> None:
    by_stature = estimate_foot(replace(SON, stature_mm=1150.0), FootGiven())
    assert "stature" in by_stature.length.note
    shoe = ShoeSize(ShoeSystem.EU_CHILD, 29)
    by_shoe = estimate_foot(replace(SON, shoe=shoe), FootGiven())
    assert "EU child 29" in by_shoe.length.note
    both = estimate_foot(replace(SON, shoe=shoe, stature_mm=1150.0), FootGiven())
    assert both.length == by_stature.length


def test_weight_count_steps_breadth_for_the_ankle() -> None:
    broad = estimate_foot(SON, replace(MEASURED, foot_breadth_mm=76.0))
    heavy = estimate_foot(replace(SON, weight_kg=24.0), MEASURED)
    assert "foot breadth" in broad.ankle_girth.note
    assert "weight" in heavy.ankle_girth.note
    assert heavy.ankle_girth.estimate.sd < broad.ankle_girth.estimate.sd


def test_a_measured_ball_girth_moves_the_girths_beside_it() -> None:
    slim = estimate_foot(SON, replace(MEASURED, ball_girth_mm=170.0))
    plump = estimate_foot(SON, replace(MEASURED, ball_girth_mm=195.0))
    assert plump.ball_girth.source == "measured"
    assert plump.heel_girth.estimate.value > slim.heel_girth.estimate.value + 25.0
    broader, narrower = (one.measures()["foot_breadth"].estimate for one in (plump, slim))
    assert broader.value > narrower.value


def test_a_childs_girth_by_adult_ratios_is_marked_and_less_sure() -> None:
    child = estimate_foot(SON, MEASURED)
    adult = estimate_foot(WearerGiven("night dispatcher"), FootGiven(length_mm=250.0))
    assert "adults' proportions" in child.heel_girth.note
    assert any("heel girth" in note for note in child.notes)
    assert child.heel_girth.estimate.sd > adult.heel_girth.estimate.sd


def test_a_growing_foot_has_a_note_and_a_grown_one_none() -> None:
    assert any("half a year" in note for note in estimate_foot(SON, MEASURED).notes)
    grown = WearerGiven("cook's daughter", Sex.WOMAN, age_years=16.5)
    notes = estimate_foot(grown, FootGiven(length_mm=238.0)).notes
    assert not any("half a year" in note for note in notes)


def test_growth_slows_with_age_and_never_turns_back() -> None:
    ages = (2.0, 6.0, 9.0, 14.0, 17.0)
    girls = [growth_mm(age, Sex.WOMAN, months=12.0) for age in ages]
    assert girls == sorted(girls, reverse=True)
    assert girls[-1] == 0.0


def test_a_mixed_table_of_lengths_lies_between_and_is_wider() -> None:
    girl, boy, either = (length_by_age(15.5, sex) for sex in (Sex.WOMAN, Sex.MAN, Sex.EITHER))
    assert girl.value < either.value < boy.value
    assert either.sd > max(girl.sd, boy.sd)


def test_an_age_of_eighteen_is_an_adults() -> None:
    grown = WearerGiven("avalanche forecaster", Sex.WOMAN, age_years=18.0)
    unsaid = replace(grown, age_years=None)
    given = FootGiven(length_mm=245.0)
    assert estimate_foot(grown, given) == estimate_foot(unsaid, given)
