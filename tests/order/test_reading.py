"""What each key of an order means, and what is said of a key that is wrong.

Expected values are worked out by hand from the text of the order.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from order.texts import BASE, SWATCH, order_text, problems, read
from sockwright.errors import OrderError, Problem
from sockwright.machine import CamNaming, CamSlope, Cylinder, DialKind, Landmark, Mark, Turning
from sockwright.measure.foot import estimate_foot
from sockwright.order import load_order, model, parse_order


def only_problem(**changed: str) -> Problem:
    found = problems(order_text(**changed))
    assert len(found) == 1, found
    return found[0]


def test_the_least_order_has_the_defaults_of_the_model() -> None:
    order = read()
    assert order.title == "Socks for the wearer"
    assert order.units == "cm"
    assert order.wearer.left == order.wearer.right == model.FootGiven(length_mm=245.0)
    assert order.yarn("main").tex == 250.0
    assert order.yarn("heel") is order.yarn("main")
    assert order.machine.cylinders == (Cylinder(60), Cylinder(72))
    assert order.swatches == ()
    assert order.sock == model.SockGiven()


def test_wearer() -> None:
    wearer = read(
        wearer='name = "night dispatcher"\nsex = "Man"\nage = 41\nstature = "1.80 m"\n'
        'weight = "11 st"\nshoe_size = "UK 8 1/2"'
    ).wearer
    assert (wearer.name, wearer.sex, wearer.age_years) == ("night dispatcher", "man", 41.0)
    assert wearer.stature_mm == 1800.0
    assert wearer.weight_kg == pytest.approx(69.853, abs=0.001)
    assert wearer.shoe == model.ShoeSize(model.ShoeSystem.UK, 8.5)


@pytest.mark.parametrize(
    ("text", "system", "size"),
    [
        ("EU 42", "EU", 42),
        ("eu 42,5", "EU", 42.5),
        ("US women 8", "US women", 8),
        ("US men 9½", "US men", 9.5),
        ("Mondopoint 265", "Mondopoint", 265),
        ("UK child 10", "UK child", 10),
    ],
)
def test_shoe_sizes(text: str, system: str, size: float) -> None:
    assert read(wearer=f'shoe_size = "{text}"').wearer.shoe == model.ShoeSize(
        model.ShoeSystem(system), size
    )


@pytest.mark.parametrize("text", ["42", "42 EU", "US 8", "EU", "EU 420", "EU 4", "UK child 30"])
def test_shoe_sizes_without_a_system_or_out_of_it_are_refused(text: str) -> None:
    assert only_problem(wearer=f'shoe_size = "{text}"').path == "wearer.shoe_size"


def test_what_a_foot_says_goes_before_what_both_feet_say() -> None:
    wearer = read(
        foot='length = "24.5 cm"\nball_girth = "230 mm"\nload = "sitting"',
        foot__left='length = "9 5/8 in"\nload = "standing"',
        foot__right='traced_with = "7 mm"',
    ).wearer
    assert wearer.left == model.FootGiven(length_mm=244.475, ball_girth_mm=230.0)
    assert wearer.right == model.FootGiven(
        length_mm=245.0, ball_girth_mm=230.0, pencil_mm=7.0, load=model.Load.SITTING
    )


@pytest.mark.parametrize(
    "wearer", ['shoe_size = "EU 38"', 'stature = "170 cm"', "age = 2", "age = 7", "age = 17.9"]
)
def test_a_length_may_come_from_the_wearer(wearer: str) -> None:
    assert read(foot='ball_girth = "21 cm"', wearer=wearer).wearer.left.length_mm is None


@pytest.mark.parametrize(
    "wearer", ["", "age = 18", "age = 19", 'weight = "60 kg"', 'sex = "woman"']
)
def test_a_length_must_come_from_somewhere(wearer: str) -> None:
    problem = only_problem(foot='ball_girth = "21 cm"', wearer=wearer)
    assert problem.path == "foot.length"
    assert "shoe_size" in problem.right


def test_below_two_years_there_is_a_problem_beside_all_the_others() -> None:
    """Snyder et al. 1977: the tables of children's feet begin at 2 years."""
    found = problems(order_text(wearer="age = 1", foot='ball_girth = "15 furlongs"'))
    assert [problem.path for problem in found] == ["wearer.age", "foot.ball_girth"]
    assert "begin at 2 years" in found[0].wrong
    assert only_problem(foot='length = "12 cm"', wearer="age = 1.9").path == "wearer.age"


@pytest.mark.parametrize(("age", "survey"), [(17, "Snyder et al. 1977"), (18, "ANSUR II")])
def test_seventeen_is_a_child_and_eighteen_an_adult(age: int, survey: str) -> None:
    wearer = read(wearer=f"age = {age}").wearer
    assert survey in estimate_foot(wearer, wearer.left).calf_girth.note


def test_a_length_of_one_foot_is_not_one_of_the_other() -> None:
    problem = only_problem(foot="", foot__left='length = "24 cm"')
    assert problem.path == "foot.right.length"


def test_yarns() -> None:
    order = read(
        yarn__main='name = "spruce"\ncolour = "green"\nfineness = "100 g / 420 m"\n'
        'fibres = { wool = "75 %", nylon = 0.25 }\non_hand = "150 g"\nfineness_sd_tex = 3',
        yarn__heel='fineness = "Nm 15"\nplies = 4',
    )
    main, heel = order.yarns
    assert main.tex == pytest.approx(238.095, abs=0.001)
    assert (main.name, main.colour, main.tex_sd, main.on_hand_g) == ("spruce", "green", 3.0, 150.0)
    assert main.fibres == (("wool", 0.75), ("nylon", 0.25))
    # Nm 15 is 66.67 tex a ply, four plies are 266.67 tex.
    assert (heel.role, heel.name, heel.tex) == ("heel", "heel", pytest.approx(266.667, abs=0.001))


def test_machine() -> None:
    machine = read(
        machine='name = "aunt\'s"\nturns = "cylinder"\nforward = "clockwise"\n'
        'heel_half = "far"\n'
        'cylinders = [54, { needles = 72, diameter = "4 1/2 in", dial = "half" }]',
        machine__counter='counts = "handle turns"\nhandle_turns_per_round = 2\nrestarts = false',
        machine__cam='word = "clicks"\nlarger_is_looser = false\nstep = 0.5',
        machine__marks='home = "brass pin"\nheel_limits = { name = "red dots", colour = "red" }',
        machine__landmarks='"yarn mast" = 12\ngate = "4:30"\nclamp = "12:15"',
    ).machine
    assert (machine.name, machine.turns) == ("aunt's", Turning.CYLINDER)
    assert (machine.forward, machine.heel_half) == ("clockwise", "far")
    assert machine.cylinders[1] == Cylinder(72, 114.3, DialKind.HALF)
    assert machine.counter.counts == "handle turns"
    assert machine.counter.handle_turns_per_round == 2.0
    assert not machine.counter.restarts
    assert machine.cam == CamNaming("clicks", larger_is_looser=False, step=0.5)
    assert machine.mark("home") == Mark("home", "brass pin")
    assert machine.mark("heel limits") == Mark("heel limits", "red dots", "red")
    assert machine.mark("halfway").name == "halfway mark"
    assert machine.landmarks == (
        Landmark("yarn mast", 12.0),
        Landmark("gate", 4.5),
        Landmark("clamp", 0.25),
    )


def test_what_a_machine_knows_of_its_cam() -> None:
    given = f'{BASE["machine"]}\ncam_slope = {{ change = "-3.2 %", sd = 0.004 }}'
    assert read(machine=given).machine.cam_slope == CamSlope(-0.032, 0.004)
    wide = f"{BASE['machine']}\ncam_slope = {{ change = 3.2, sd = 0.004 }}"
    assert only_problem(machine=wide).path == "machine.cam_slope.change"


def test_every_reading_of_a_swatch() -> None:
    (swatch,) = read(
        swatch=SWATCH + "cam = 14\ndate = 2025-10-11\n"
        'ruler = "0.5 mm"\nbalance = "0.1 g"\nwales = ["32 in 10 cm", "8.1 per inch"]\n'
        'courses = "42,5 courses over 4 in"\n'
        'unravelled = [{ rounds = 10, length = "7.9 m" }, { loops = 45, length = "59 cm" }]\n'
        'weighed = { rounds = 40, mass = "9.1 g" }\nflat_width = ["9.9 cm", "10 cm"]\n'
        'rounds_length = { rounds = 40, length = "9.6 cm" }\n'
        'stretch = { relaxed = "10 cm", stretched = "15 cm" }'
    ).swatches
    assert swatch == model.SwatchGiven(
        name="swatch 1",
        state=model.State.WASHED,
        needles=60,
        cam=14.0,
        wales=(model.Count(32.0, 100.0), model.Count(8.1, 25.4)),
        courses=(model.Count(42.5, 101.6),),
        unravelled=(model.Unravelled(600.0, 7900.0), model.Unravelled(45.0, 590.0)),
        weighed=(model.Weighed(2400.0, 9.1),),
        flat_widths_mm=(99.0, 100.0),
        rounds_length=(model.RoundsLength(40.0, 96.0),),
        stretch=(model.Stretch(100.0, 150.0),),
        ruler_mm=0.5,
        balance_g=0.1,
        date="2025-10-11",
    )


def test_how_a_swatch_was_knitted_and_pulled() -> None:
    (swatch,) = read(
        swatch=SWATCH + 'fabric = "3x1"\nweight_hung = "900 g"\nfelted = true\n'
        'flat_width = "9 cm"\n'
        'stretch = { relaxed = "9 cm", stretched = "20 cm", pull = "firm" }'
    ).swatches
    assert (swatch.fabric, swatch.weight_hung_g, swatch.felted) == ("3x1", 900.0, True)
    assert swatch.stretch == (model.Stretch(90.0, 200.0, model.Pull.FIRM),)


def test_sock() -> None:
    sock = read(
        sock='needles = 72\ndrape = "firm"',
        sock__cuff='kind = "true rib"\nrounds = 24\nrib = "3x1"\nrib_to = "instep"\n'
        'remainder = "home"',
        sock__leg='height = "20 cm"\nshaped = true',
        sock__heel='widening = "two down, one up"\nkept = 12\nfirst_raise = 2\n'
        "deep_kept = 20\nwedge_rounds = 4",
        sock__toe='half = "instep half"\nkept = 10',
        sock__ease='girth = "-5 %"\nlength = 0.02',
    ).sock
    assert (sock.needles, sock.drape) == (72, "firm")
    assert sock.cuff == model.CuffGiven(
        model.CuffKind.TRUE_RIB, None, 24, (3, 1), model.RibEnd.INSTEP, model.Remainder.HOME
    )
    assert sock.leg == model.LegGiven(height_mm=200.0, shaped=True)
    two_down = model.CupGiven(12, model.Widening.TWO_DOWN_ONE_UP, 2)
    assert sock.heel == model.HeelGiven(cup=two_down, deep_kept=20, wedge_rounds=4)
    assert sock.toe == model.ToeGiven(model.ToeHalf.INSTEP, model.CupGiven(kept=10))
    assert sock.ease == model.EaseGiven(-0.05, 0.02)


def test_a_toe_without_a_cup_of_its_own_is_as_the_heel() -> None:
    assert read(sock__heel="kept = 12").sock.toe.cup is None


@pytest.mark.parametrize(
    ("length", "meant"),
    [
        ("251 cm", "25.1 cm"),
        ("24.5 mm", "24.5 cm"),
        ("0.245 cm", "0.245 m"),
        ("9.5 m", "9.5 cm"),
        ("245 in", "245 mm"),
        ("2.5 cm", "25 cm"),
    ],
)
def test_a_slip_of_the_pen_is_recognised(length: str, meant: str) -> None:
    problem = only_problem(foot=f'length = "{length}"')
    assert problem.path == "foot.length"
    assert problem.right == f"did you mean {meant}?"


@pytest.mark.parametrize("length", ["3000 km", "0 cm", "1 ft 11 in"])
def test_nothing_is_guessed_where_no_slip_explains_it(length: str) -> None:
    assert only_problem(foot=f'length = "{length}"').right == "give a length, 8 cm to 40 cm"


def test_a_foot_longer_than_any_is_told_in_full() -> None:
    assert str(only_problem(foot='length = "251 cm"')) == (
        "foot.length: 251 cm is too long; did you mean 25.1 cm?"
    )


@pytest.mark.parametrize(
    ("table", "text", "path"),
    [
        ("foot", 'length = "-24 cm"', "foot.length"),
        ("foot", 'length = "0 cm"', "foot.length"),
        ("foot", "length = 24.5", "foot.length"),
        ("foot", "length = nan", "foot.length"),
        ("foot", 'length = "24.5"', "foot.length"),
        ("foot", 'length = "24 cm"\nball_girth = "70 cm"', "foot.ball_girth"),
        ("foot", 'length = "24 cm"\nankle_girth = "1 cm"', "foot.ankle_girth"),
        ("foot", 'length = "24 cm"\nload = "lying"', "foot.load"),
        ("foot", 'length = "24 cm"\nleft = 3', "foot.left"),
        ("foot", 'length = "24 cm"\ntraced_with = "7 cm"', "foot.traced_with"),
        ("wearer", "age = -1", "wearer.age"),
        ("wearer", "age = true", "wearer.age"),
        ("wearer", 'name = ""', "wearer.name"),
        ("wearer", 'name = "two\\nlines"', "wearer.name"),
        ("wearer", f'name = "{"x" * 201}"', "wearer.name"),
        ("wearer", 'stature = "17 cm"', "wearer.stature"),
        ("yarn.main", 'name = "no label"', "yarn.main.fineness"),
        ("yarn.main", 'fineness = "100 g"', "yarn.main.fineness"),
        ("yarn.main", 'fineness = "Nm 15"\nplies = 0', "yarn.main.plies"),
        ("yarn.main", 'fineness = "250 tex"\nfineness_sd_tex = 250', "yarn.main.fineness_sd_tex"),
        (
            "yarn.main",
            'fineness = "250 tex"\nfibres = { nylon = "120 %" }',
            "yarn.main.fibres.nylon",
        ),
        (
            "yarn.main",
            'fineness = "250 tex"\nfibres = { wool = "75 %", nylon = "20 %" }',
            "yarn.main.fibres",
        ),
        ("machine", 'turns = "both"\ncylinders = 60', "machine.turns"),
        ("machine", "cylinders = 60", "machine.turns"),
        ("machine", 'turns = "carrier"', "machine.cylinders"),
        ("machine", 'turns = "carrier"\ncylinders = []', "machine.cylinders"),
        ("machine", 'turns = "carrier"\ncylinders = [60, 60]', "machine.cylinders"),
        ("machine", 'turns = "carrier"\ncylinders = [60, 3]', "machine.cylinders[2]"),
        ("machine", 'turns = "carrier"\ncylinders = 201', "machine.cylinders"),
        ("machine", 'turns = "carrier"\ncylinders = 60.5', "machine.cylinders"),
        ("machine", 'turns = "carrier"\ncylinders = "60"', "machine.cylinders"),
        (
            "machine",
            'turns = "carrier"\ncylinders = 60\nlandmarks = { mast = 13 }',
            "machine.landmarks.mast",
        ),
        ("machine", 'file = "machine.toml"', "machine.file"),
        ("swatch", SWATCH, "swatch"),
        ("swatch", 'needles = 60\nwales = "32 in 10 cm"', "swatch.state"),
        ("swatch", SWATCH + 'wales = "32 in 0 cm"', "swatch.wales"),
        ("swatch", SWATCH + 'wales = "32 in 1 cm"', "swatch.wales"),
        ("swatch", SWATCH + 'wales = "-32 in 10 cm"', "swatch.wales"),
        ("swatch", SWATCH + "wales = 32", "swatch.wales"),
        ("swatch", SWATCH + 'courses = ["42 in 10 cm", "42"]', "swatch.courses[2]"),
        ("swatch", SWATCH + 'unravelled = { length = "8 m" }', "swatch.unravelled"),
        ("swatch", SWATCH + "unravelled = { rounds = 10 }", "swatch.unravelled.length"),
        (
            "swatch",
            SWATCH + 'unravelled = { rounds = -10, length = "8 m" }',
            "swatch.unravelled.rounds",
        ),
        (
            "swatch",
            SWATCH + 'unravelled = { rounds = 10, loops = 600, length = "8 m" }',
            "swatch.unravelled.loops",
        ),
        # 600 loops of 80 cm have 1.3 mm each: metres were meant.
        (
            "swatch",
            SWATCH + 'unravelled = { rounds = 10, length = "80 cm" }',
            "swatch.unravelled[1]",
        ),
        (
            "swatch",
            SWATCH + 'stretch = { relaxed = "10 cm", stretched = "9 cm" }',
            "swatch.stretch.stretched",
        ),
        ("swatch", SWATCH + 'flat_width = "9 cm"\ndate = "11.10.2025"', "swatch.date"),
        ("swatch", SWATCH + 'flat_width = "9 cm"\nyarn = "heel"', "swatch[1].yarn"),
        ("sock", "needles = 64", "sock.needles"),
        ("sock", 'drape = "frim"', "sock.drape"),
        ("sock.cuff", "rounds = -3", "sock.cuff.rounds"),
        ("sock.cuff", 'depth = "3 cm"\nrounds = 9', "sock.cuff.rounds"),
        ("sock.cuff", 'kind = "true rib"\nrib = "0x1"', "sock.cuff.rib"),
        ("sock.cuff", 'rib = "1x1"', "sock.cuff.rib"),
        ("sock.cuff", 'kind = "true rib"\nevery = 3', "sock.cuff.every"),
        ("sock.cuff", 'remainder = "home"', "sock.cuff.remainder"),
        ("sock.leg", 'height = "20 cm"\nleg = "9 cm"', "sock.leg.leg"),
        ("sock.heel", "kept = 40", "sock.heel.kept"),
        ("sock.heel", "kept = 12\ndeep_kept = 12", "sock.heel.deep_kept"),
        ("sock.heel", "wedge_rounds = 3", "sock.heel.wedge_rounds"),
        ("sock.heel", 'kind = "none"\nkept = 10', "sock.heel.kept"),
        ("sock.heel", 'kind = "none"\nwidening = "no wrap"', "sock.heel.widening"),
        ("sock.heel", 'kind = "none"\ndeep_kept = 20', "sock.heel.deep_kept"),
        ("sock.heel", 'kind = "afterthought"\ndeep_kept = 20', "sock.heel.deep_kept"),
        ("sock.heel", "first_raise = 3", "sock.heel.first_raise"),
        ("sock.toe", 'closing = "gather"\nkept = 8', "sock.toe.kept"),
        ("sock.ease", 'girth = "80 %"', "sock.ease.girth"),
        ("sock.ease", "girth = 10", "sock.ease.girth"),
    ],
)
def test_what_cannot_be_is_refused_where_it_stands(table: str, text: str, path: str) -> None:
    problem = only_problem(**{table.replace(".", "__"): text})
    assert problem.path == path
    assert problem.wrong
    assert problem.right


@pytest.mark.parametrize(
    ("hour", "forward", "half", "agrees"),
    [
        (9, "clockwise", "far", True),  # from nine over twelve to three
        (9, "clockwise", "near", False),
        (9, "anticlockwise", "near", True),
        (3, "anticlockwise", "near", False),
        (6, "clockwise", "near", False),  # from six over nine: on neither side
    ],
)
def test_a_heel_half_agrees_with_where_the_carrier_of_a_turning_cylinder_stands(
    hour: int, forward: str, half: str, *, agrees: bool
) -> None:
    said = f'turns = "cylinder"\ncylinders = [60]\nforward = "{forward}"\nheel_half = "{half}"'
    carrier = f'"yarn carrier" = {hour}'
    if agrees:
        assert read(machine=said, machine__landmarks=carrier).machine.heel_half == half
        assert read(machine=said).machine.heel_half == half
    else:
        assert only_problem(machine=said, machine__landmarks=carrier).path == "machine.heel_half"


@pytest.mark.parametrize("colour", ["purple with spots", "limegreenish", "#12", "red!"])
def test_a_mark_colour_that_cannot_be_drawn_is_refused(colour: str) -> None:
    found = only_problem(machine__marks=f'home = {{ name = "dot", colour = "{colour}" }}')
    assert found.path == "machine.marks.home.colour"
    assert colour in found.wrong
    assert "#rrggbb" in found.right
    assert "lime green" in found.right


def test_all_problems_are_told_at_once() -> None:
    text = """
        colour = "red"
        [wearer]
        nmae = "cook"
        [foot.left]
        length = "251 cm"
        [[swatch]]
        state = "washed"
        needles = 60
        wales = ["32 in 10 cm", "many"]
        [[swatch]]
        needles = 3
    """
    assert [problem.path for problem in problems(text)] == [
        "colour",
        "wearer.nmae",
        "foot.left.length",
        "yarn.main.fineness",
        "machine",
        "swatch[1].wales[2]",
        "swatch[2].state",
        "swatch[2].needles",
        "swatch[2]",
        "foot.right.length",
    ]


def test_an_unknown_key_is_told_its_likely_name() -> None:
    found = only_problem(foot='length = "24 cm"\nball_grith = "22 cm"')
    assert (found.path, found.right) == ("foot.ball_grith", 'did you mean "ball_girth"?')


def test_an_unknown_word_is_told_its_likely_form() -> None:
    assert 'did you mean "mock-rib hem"?' in only_problem(sock__cuff='kind = "mockrib hem"').right


def test_a_strange_key_cannot_forge_a_message() -> None:
    found = only_problem(wearer='"name\\u001b[31m\\nfoot.length: fine" = "x"')
    assert "\n" not in found.path
    assert "\x1b" not in found.path


def test_machine_files_are_read_from_the_folder_of_the_order(tmp_path: Path) -> None:
    (tmp_path / "bench.toml").write_text('turns = "cylinder"\ncylinders = 96\n', "utf-8")
    order = parse_order(order_text(machine='file = "bench.toml"'), tmp_path)
    assert order.machine.cylinders == (Cylinder(96),)


def test_keys_beside_a_machine_file_are_one_problem(tmp_path: Path) -> None:
    (tmp_path / "bench.toml").write_text('turns = "cylinder"\ncylinders = 96\n', "utf-8")
    beside = 'file = "bench.toml"\nturns = "carrier"\ncylinders = 60\ncounter = {}'
    with pytest.raises(OrderError) as caught:
        parse_order(order_text(machine=beside), tmp_path)
    (problem,) = caught.value.problems
    keys = "machine.turns, machine.cylinders, machine.counter"
    assert (problem.path, problem.wrong) == ("machine.file", f"cannot be used with {keys}")
    assert problem.right.startswith(f"delete {keys} here")


def test_a_machine_file_that_is_missing_names_the_folders_looked_in(tmp_path: Path) -> None:
    path, kept = tmp_path / "order.toml", tmp_path / "machines"
    path.write_text(order_text(machine='file = "bench.toml"'), "utf-8")
    with pytest.raises(OrderError) as caught:
        load_order(path, machines=kept)
    (problem,) = caught.value.problems
    assert problem.path == "machine.file"
    assert problem.wrong.startswith('"bench.toml" is not there')
    assert problem.wrong.count(str(tmp_path)[:20]) == 2
    assert "machine file" in problem.right
    assert "order file" not in problem.right


def test_a_machine_file_that_is_no_toml_says_so(tmp_path: Path) -> None:
    (tmp_path / "bench.toml").write_text("turns = carrier\n", "utf-8")
    with pytest.raises(OrderError) as caught:
        parse_order(order_text(machine='file = "bench.toml"'), tmp_path)
    (problem,) = caught.value.problems
    assert problem.path == "machine.file"
    assert problem.wrong.startswith('"bench.toml" line 1, column 9')


def test_problems_of_a_machine_file_name_the_file(tmp_path: Path) -> None:
    (tmp_path / "bench.toml").write_text('turns = "sideways"\nfile = "bench.toml"\n', "utf-8")
    with pytest.raises(OrderError) as caught:
        parse_order(order_text(machine='file = "bench.toml"'), tmp_path)
    paths = [problem.path for problem in caught.value.problems]
    assert paths == ["bench.toml.file", "bench.toml.turns", "bench.toml.cylinders"]
