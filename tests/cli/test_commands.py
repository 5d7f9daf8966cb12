"""The commands as a person uses them: their output, exit status, files and errors."""

from __future__ import annotations

import csv
import json
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import jsonschema
import numpy as np
import pytest

from cli.conftest import Command
from orders import as_tube
from sockwright import load_order, make_plan
from sockwright.plan import make
from sockwright.plan.data import plan_data, schema_text
from sockwright.steps import Program

ROOT = Path(__file__).resolve().parent.parent.parent
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
WINCH = ROOT / "examples" / "winch-operator.toml"


@pytest.mark.parametrize("order", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_planned_and_proven(command: Command, order: Path) -> None:
    status, out, err = command("plan", order)
    assert (status, err) == (0, "")
    assert "Passed:" in out
    assert "FAILED" not in out
    assert max(map(len, out.splitlines())) <= 100


def test_a_program_is_short(command: Command) -> None:
    """60 needles, with how it speaks and all cautions: who reads more there loses count."""
    out = command("plan", WINCH)[1]
    program = out[out.index("The crank program") :]
    assert len(program.split()) <= 1900
    (steps,) = re.findall(r"(\d+) printed steps", out)
    assert int(steps) <= 95


@pytest.mark.parametrize("order", EXAMPLES, ids=lambda path: path.stem)
def test_the_data_keeps_to_the_shipped_schema(command: Command, order: Path) -> None:
    status, out, _ = command("plan", order, "--json")
    data = json.loads(out)
    jsonschema.Draft202012Validator(json.loads(schema_text())).validate(data)
    assert status == 0
    assert data["dry_run"]["ok"] is True
    assert data["fabric"]["agrees"] is True


def test_a_sock_without_a_heel_is_of_the_schema_too() -> None:
    data = plan_data(make_plan(as_tube(load_order(WINCH))))
    jsonschema.Draft202012Validator(json.loads(schema_text())).validate(data)
    assert data["sizing"]["heel"] == "none"
    assert data["sizing"]["heel_kept"] is None
    assert data["fabric"]["tube_length"]["value"] > data["fabric"]["foot_length"]["value"]


def test_the_schema_refuses_a_plan_with_a_key_too_many(command: Command) -> None:
    data = json.loads(command("plan", WINCH, "--json")[1])
    validator = jsonschema.Draft202012Validator(json.loads(schema_text()))
    assert not list(validator.iter_errors(data))
    data["gauge"]["mood"] = "good"
    assert list(validator.iter_errors(data))


def test_the_same_order_gives_the_same_bytes(command: Command) -> None:
    assert command("plan", WINCH, "--json") == command("plan", WINCH, "--json")
    assert command("plan", WINCH) == command("plan", WINCH)


def test_loops_as_csv_have_one_line_a_loop_and_parents_that_came_before(
    command: Command, tmp_path: Path
) -> None:
    path = tmp_path / "loops.csv"
    status, out, _ = command("plan", WINCH, "--loops", path)
    assert status == 0
    assert f"wrote {path.name}" in out.replace(f"{tmp_path}/", "")
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [int(row["loop"]) for row in rows] == list(range(len(rows)))
    for row in rows:
        parents = [int(parent) for parent in row["parents"].split("+") if parent]
        assert all(parent < int(row["loop"]) for parent in parents)
    assert {row["bed"] for row in rows} == {"cylinder"}


def test_loops_as_npz_hold_the_same_table(command: Command, tmp_path: Path) -> None:
    one, other = tmp_path / "loops.npz", tmp_path / "loops.csv"
    command("plan", WINCH, "--loops", one)
    command("plan", WINCH, "--loops", other)
    with np.load(one) as table, other.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
        assert table["needle"].tolist() == [int(row["needle"]) for row in rows]
        assert table["course"].tolist() == [int(row["course"]) for row in rows]


def test_feet_that_differ_give_a_loop_table_each(command: Command, tmp_path: Path) -> None:
    order = ROOT / "examples" / "avalanche-forecaster.toml"
    command("plan", order, "--loops", tmp_path / "loops.npz")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["loops-left.npz", "loops-right.npz"]


def test_a_table_of_another_kind_is_refused_before_anything_is_written(
    command: Command, tmp_path: Path
) -> None:
    status, _, err = command("plan", WINCH, "--loops", tmp_path / "loops.xlsx")
    assert status == 2
    assert ".csv or .npz" in err
    assert list(tmp_path.iterdir()) == []


def test_saving_writes_text_data_and_loops(command: Command, tmp_path: Path) -> None:
    status, out, _ = command("plan", WINCH, "--save", tmp_path / "here")
    assert status == 0
    names = sorted(path.name for path in (tmp_path / "here").iterdir())
    assert names == ["loops.csv", "plan.json", "plan.txt"]
    assert (tmp_path / "here" / "plan.txt").read_text(encoding="utf-8") in out


def short_of_yarn(folder: Path) -> Path:
    """The winch operator's order with a third of the yarn."""
    short = folder / "short.toml"
    text = WINCH.read_text(encoding="utf-8").replace('on_hand = "150 g"', 'on_hand = "50 g"')
    short.write_text(text.replace("machines/", f"{ROOT}/examples/machines/"), encoding="utf-8")
    return short


@pytest.fixture
def unfinished(monkeypatch: pytest.MonkeyPatch) -> None:
    """Programs end before their last step, as no order's do."""
    real = make.build_program

    def short(*given: object) -> Program:
        program = real(*given)  # type: ignore[arg-type]
        return replace(program, steps=program.steps[:-1])

    monkeypatch.setattr(make, "build_program", short)


def test_check_passes_where_only_yarn_is_short(command: Command, tmp_path: Path) -> None:
    assert command("check", WINCH)[0] == 0
    status, out, _ = command("check", short_of_yarn(tmp_path))
    assert status == 0
    assert "WARNING yarn-gone" in out


@pytest.mark.usefixtures("unfinished")
def test_check_fails_by_its_exit_status(command: Command) -> None:
    status, out, _ = command("check", WINCH)
    assert status == 1
    assert "ERROR " in out


def test_cylinders_are_ranked_with_reasons(command: Command) -> None:
    status, out, _ = command("cylinders", WINCH)
    assert status == 0
    assert "the best first" in out
    assert "smaller than the foot" in out
    # The 60 needles stand on a circle of 108 mm.
    assert re.search(r"^60 +5\.65 mm ", out, re.MULTILINE)


def test_an_adults_foot_has_a_shoe_size_and_the_fabric_a_mass(command: Command) -> None:
    out = command("plan", WINCH)[1]
    assert re.search(r"^length .* measured; about EU 37\.5, UK 5, US women 7$", out, re.MULTILINE)
    assert re.search(r"^mass +4\d\d ± \d+ g/m²", out, re.MULTILINE)
    child = ROOT / "examples" / "cooks-son.toml"
    assert "about EU" not in command("plan", child)[1]


def test_a_new_order_can_be_planned_as_it_stands_and_is_never_overwritten(
    command: Command, tmp_path: Path
) -> None:
    path = tmp_path / "new.toml"
    assert command("order", "new", path)[0] == 0
    assert command("check", path)[0] == 0
    before = path.read_bytes()
    status, _, err = command("order", "new", path)
    assert status == 2
    assert "a file already" in " ".join(err.split())
    assert path.read_bytes() == before
    assert command("order", "new")[1] == before.decode()


def test_all_mistakes_are_told_at_once_with_what_would_be_right(command: Command) -> None:
    status, out, err = command("plan", ROOT / "examples" / "refused" / "many-mistakes.toml")
    assert (status, out) == (2, "")
    for place in (
        "foot.length",
        "foot.ball_girth",
        "foot.ankel_girth",
        "yarn.main.fibres.nylon",
        "machine.cylinders[1]",
        "sock.cuff.rounds",
    ):
        assert place in err
    assert "25.1 cm" in err
    assert "ankle_girth" in err


def test_a_sock_that_cannot_be_made_comes_with_what_can(command: Command) -> None:
    status, out, err = command("plan", ROOT / "examples" / "refused" / "rib-on-54.toml")
    assert (status, out) == (1, "")
    assert "cannot be made as asked" in err
    assert "What can:" in err
    assert "Write needles = 60 in [sock]." in err


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("missing.toml", None),
        ("empty.toml", b""),
        ("broken.toml", b"[foot\nlength = 3"),
        ("latin.toml", "title = 'gr\u00fcn'".encode("latin-1")),
        ("binary.toml", bytes(range(256))),
    ],
)
def test_a_file_that_is_no_order_is_a_message_not_a_traceback(
    command: Command, tmp_path: Path, name: str, content: bytes | None
) -> None:
    path = tmp_path / name
    if content is not None:
        path.write_bytes(content)
    status, out, err = command("plan", path)
    assert (status, out) == (2, "")
    assert "Traceback" not in err
    assert "problem" in err


def test_the_installed_command_runs_as_a_process() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "sockwright", "--version"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.startswith("sockwright ")


def test_a_reader_that_goes_away_gets_no_traceback() -> None:
    line = f"{sys.executable} -m sockwright plan {WINCH} | head -1"
    run = subprocess.run(["sh", "-c", line], capture_output=True, text=True, check=False)
    assert run.stdout.count("\n") == 1
    assert run.stderr == ""


SHEETS = {
    "chart.pdf",
    "chart.svg",
    "crank.pdf",
    "how-to-measure.pdf",
    "marks.pdf",
    "record.pdf",
    "scale-card.pdf",
    "swatch.pdf",
    "tracing-page.pdf",
    "tracing-two-sheets.pdf",
}


def test_sheets_are_written_for_either_paper(command: Command, tmp_path: Path) -> None:
    for paper in ("a4", "letter"):
        folder = tmp_path / paper
        status, out, _ = command("sheets", WINCH, "-o", folder, "--paper", paper)
        assert status == 0
        assert {path.name for path in folder.iterdir()} == SHEETS
        assert out.count("wrote ") == len(SHEETS)
        assert all(path.read_bytes().startswith(b"%PDF") for path in folder.glob("*.pdf"))
        assert "<svg" in (folder / "chart.svg").read_text(encoding="utf-8")


def test_one_sheet_alone_and_one_a_foot_where_feet_differ(command: Command, tmp_path: Path) -> None:
    order = ROOT / "examples" / "avalanche-forecaster.toml"
    command("sheets", order, "-o", tmp_path, "--only", "crank")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["crank-left.pdf", "crank-right.pdf"]


def test_letters_that_no_shipped_face_has_are_told_after_printing(
    command: Command, tmp_path: Path
) -> None:
    text = WINCH.read_text(encoding="utf-8").replace("machines/", f"{ROOT}/examples/machines/")
    order = tmp_path / "cook.toml"
    order.write_text(re.sub('title = ".*"', 'title = "厨师 socks"', text), encoding="utf-8")
    status, out, err = command("sheets", order, "-o", tmp_path, "--only", "crank")
    assert status == 0
    assert "wrote" in out
    assert "none of Sockwright's typefaces" in err
    assert '厨师 (in "厨师 socks")' in " ".join(err.split())
    assert command("sheets", WINCH, "-o", tmp_path, "--only", "crank")[2] == ""


def test_an_unknown_sheet_is_refused_with_those_there_are(command: Command, tmp_path: Path) -> None:
    status, _, err = command("sheets", WINCH, "-o", tmp_path, "--only", "poster")
    assert status == 2
    assert "crank, marks, measuring" in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.usefixtures("unfinished")
def test_a_plan_with_an_error_gives_its_reason_and_no_sheet(
    command: Command, tmp_path: Path
) -> None:
    status, _, err = command("sheets", WINCH, "-o", tmp_path / "sheets")
    assert status == 1
    told = command("check", WINCH)[1]
    step = re.search(r"step\d+", "".join(told.split()))
    assert step is not None
    assert f"{step.group()}:" in "".join(err.split())
    assert not (tmp_path / "sheets").exists()


def test_a_plan_short_of_yarn_says_so_before_all_else(command: Command, tmp_path: Path) -> None:
    status, out, _ = command("plan", short_of_yarn(tmp_path))
    assert status == 0
    said = " ".join(out.split())
    assert said.index("Yarn: ") < said.index("Fit: ") < said.index("What would do")
    assert re.search(r"write rounds = \d+ in \[sock\.leg\]", said)


def test_a_plan_short_of_yarn_has_its_sheets(command: Command, tmp_path: Path) -> None:
    sheets = tmp_path / "sheets"
    assert command("sheets", short_of_yarn(tmp_path), "-o", sheets, "--only", "crank")[0] == 0
    assert [one.name for one in sheets.iterdir()] == ["crank.pdf"]


def test_sheets_that_cannot_all_be_written_leave_none(command: Command, tmp_path: Path) -> None:
    # A folder stands where the last sheet belongs.
    (tmp_path / "tracing-two-sheets.pdf").mkdir()
    status, _, err = command("sheets", WINCH, "-o", tmp_path, "--only", "measuring")
    assert status == 2
    assert "tracing-two-sheets.pdf" in err
    assert [path.name for path in tmp_path.iterdir()] == ["tracing-two-sheets.pdf"]


def test_marks_for_any_cylinder(command: Command, tmp_path: Path) -> None:
    status, out, _ = command("marks", 61, "--diameter", "4 1/4 in", "-o", tmp_path)
    assert status == 0
    assert "marks-61.pdf" in out
    status, _, err = command("marks", 3, "--diameter", "4 in", "-o", tmp_path)
    assert status == 2
    assert "24 to 200" in err
    status, _, err = command("marks", 61, "--diameter", "4", "-o", tmp_path)
    assert status == 2
    assert "unit" in err
