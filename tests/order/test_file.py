"""Files that are not orders: each is refused in plain words, never with a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from sockwright.errors import OrderError, Problem
from sockwright.order import load_machine, load_order, new_order, parse_order


def refusal(path: Path) -> Problem:
    with pytest.raises(OrderError) as caught:
        load_order(path)
    (problem,) = caught.value.problems
    return problem


def written(folder: Path, data: bytes) -> Path:
    path = folder / "socks.toml"
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(
    "encode",
    [
        lambda text: text.encode(),
        lambda text: text.encode("utf-8-sig"),
        lambda text: text.replace("\n", "\r\n").encode(),
    ],
    ids=["UTF-8", "with a byte order mark", "with Windows line ends"],
)
def test_orders_as_editors_save_them(tmp_path: Path, encode) -> None:  # type: ignore[no-untyped-def]
    assert load_order(written(tmp_path, encode(new_order()))) == parse_order(new_order())


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"a = 1\nb = 25.1 cm\n", "line 2, column 10"),
        (b"[foot]\n[foot]\n", "line 2"),
        (b'a = "x', "stops before it is complete"),
        (b"a", "no heading such as"),
        (b"day = 2025-02-30", "not in the calendar|line 1"),
        (b"a = " + b"9" * 6000, "of 6000 characters"),
        (b"a = " + b"[" * 20000, "brackets within brackets"),
        (b"name = 'caf\xe9'\n", "line 1 holds a character that is not in UTF-8"),
        (b"a = 1\nname = 'caf\xe9'\n", "line 2 holds a character that is not in UTF-8"),
        ("a = 1".encode("utf-16"), "UTF-16"),
        (b"\x7fELF\x00\x00", "not a text file"),
        (b"# " + b"x" * 1_000_001, "far too large"),
    ],
)
def test_text_that_is_no_order(tmp_path: Path, data: bytes, words: str) -> None:
    problem = refusal(written(tmp_path, data))
    assert problem.path == str(tmp_path / "socks.toml")
    assert any(word in problem.wrong for word in words.split("|")), problem
    assert problem.right


def test_what_is_no_file(tmp_path: Path) -> None:
    assert refusal(tmp_path).wrong == "is a folder"
    assert refusal(tmp_path / "missing.toml").wrong == "is not there"
    assert refusal(Path("nul\0in the name.toml")).right.startswith("give the path")
    with pytest.raises(OrderError, match="is not there"):
        load_machine(tmp_path / "bench.toml")


def test_a_path_is_named_as_it_was_typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert refusal(Path(".")).path == "."
    assert "folder" in refusal(Path(".")).wrong
    assert refusal(Path("..")).path == ".."
    missing = Path("orders") / "boot socks.toml"
    assert refusal(missing).path == str(missing)


def test_a_path_cannot_forge_a_message() -> None:
    assert str(refusal(Path("a\nfoot.length: fine\x1b[2J.toml"))).isprintable()


def test_a_machine_file_that_is_not_there_is_not_called_an_order(tmp_path: Path) -> None:
    with pytest.raises(OrderError) as caught:
        load_machine(tmp_path / "bench.toml")
    assert "my-machine.toml" in caught.value.problems[0].right


@pytest.mark.parametrize("word", ["yes", "no", "Yes", "on"])
def test_yes_and_no_are_told_their_toml(tmp_path: Path, word: str) -> None:
    text = f"[machine.counter]\nrestarts = {word}\n"
    problem = refusal(written(tmp_path, text.encode()))
    assert problem.wrong.startswith("line 2, column 12")
    assert "written true and false" in problem.right


def test_a_text_out_of_a_form_has_no_file_name() -> None:
    with pytest.raises(OrderError) as caught:
        parse_order("x = = 1")
    assert caught.value.problems[0].path == "the order"


def test_a_text_that_is_no_order_is_told_what_one_is() -> None:
    with pytest.raises(OrderError) as caught:
        parse_order("hello")
    (problem,) = caught.value.problems
    assert problem.path == "the order"
    assert "[foot]" in problem.wrong
    assert "page of a pair" in problem.right
    with pytest.raises(OrderError) as caught:
        parse_order("[foot]\nlength 25")
    assert "line 2" in caught.value.problems[0].wrong
