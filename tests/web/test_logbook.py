"""What a server writes of what went wrong: bounded, readable, for its owner alone."""

from __future__ import annotations

import io
import logging
import stat
import threading
from pathlib import Path

import pytest

from sockwright.web.errors import told
from sockwright.web.logbook import (
    LONGEST_LINE,
    MOST_FAULTS,
    MOST_FILE_BYTES,
    MOST_FILES,
    MOST_NOTES,
    MOST_TOLD,
    WINDOW_S,
    LogFile,
    TerminalHandler,
    in_a_line,
    logged,
)

LOG = logging.getLogger("sockwright.web")


def record(message: str, error: BaseException | None = None) -> logging.LogRecord:
    """Something to write."""
    caught = None if error is None else (type(error), error, error.__traceback__)
    return logging.LogRecord("sockwright.web", logging.ERROR, "", 0, message, (), caught)


def failing(path: str = "/people") -> str:
    """A request that fails: its reference."""
    try:
        raise RuntimeError("a needle broke")
    except RuntimeError as error:
        return told({"type": "http", "method": "GET", "path": path}, error)


class Watch:
    """A clock that is set by hand, s."""

    now = 0.0

    def __call__(self) -> float:
        return self.now


def test_a_fault_has_one_reference_on_the_terminal_and_in_the_file(tmp_path: Path) -> None:
    file, screen = tmp_path / "logs" / "serve.log", io.StringIO()
    with logged(file, screen):
        reference = failing()
        LOG.info("the client hung up")
        LOG.warning("a bad request")
    (line,) = screen.getvalue().splitlines()
    assert reference in line
    assert str(file) in line
    written = file.read_text(encoding="utf-8")
    assert reference in written
    assert "a needle broke" in written
    assert "hung up" in written
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


def test_a_fault_is_told_once() -> None:
    scope = {"type": "http", "method": "GET", "path": "/"}
    assert told(scope, RuntimeError()) == told(scope, RuntimeError())


def test_nothing_is_made_where_nothing_went_wrong(tmp_path: Path) -> None:
    with logged(tmp_path / "logs" / "serve.log", io.StringIO()):
        pass
    assert list(tmp_path.iterdir()) == []


def test_other_programs_get_their_logging_back(tmp_path: Path) -> None:
    root = logging.getLogger()
    before, hook = (list(root.handlers), LOG.level), threading.excepthook
    with logged(None, io.StringIO()):
        assert threading.excepthook is not hook
    assert (list(root.handlers), LOG.level) == before
    assert threading.excepthook is hook


def test_what_a_library_says_of_a_form_stands_in_the_log_alone(tmp_path: Path) -> None:
    screen = io.StringIO()
    with logged(tmp_path / "serve.log", screen):
        logging.getLogger("python_multipart.multipart").warning("Expected boundary character")
    assert screen.getvalue() == ""
    assert "boundary" in (tmp_path / "serve.log").read_text(encoding="utf-8")


@pytest.mark.parametrize("library", ["uvicorn.error", "asyncio", "sqlalchemy.pool"])
def test_a_fault_in_a_library_is_no_traceback_either(library: str, tmp_path: Path) -> None:
    screen = io.StringIO()
    with logged(tmp_path / "serve.log", screen):
        try:
            raise RuntimeError("a cam slipped")
        except RuntimeError:
            logging.getLogger(library).exception("was never retrieved")
    assert len(screen.getvalue().splitlines()) == 1
    assert "Traceback" not in screen.getvalue()
    assert "a cam slipped" in (tmp_path / "serve.log").read_text(encoding="utf-8")


def test_nor_is_one_at_the_end_of_a_thread(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    screen = io.StringIO()
    with logged(tmp_path / "serve.log", screen):
        one = threading.Thread(target=failing_for_good)
        one.start()
        one.join()
    assert len(screen.getvalue().splitlines()) == 1
    assert "a cam slipped" in (tmp_path / "serve.log").read_text(encoding="utf-8")
    assert capfd.readouterr().err == ""


def failing_for_good() -> None:
    """What a thread may do."""
    raise RuntimeError("a cam slipped")


@pytest.mark.parametrize("text", ["a\nb", "a\x1b[2Jb", "a\rb", "a\u2028b", "a\u202eb", "a\x9bb"])
def test_a_line_is_one_line_and_steers_no_terminal(text: str) -> None:
    assert in_a_line(text).isprintable()
    assert in_a_line("x" * 10_000 + text).isprintable()
    assert len(in_a_line("x" * 10_000)) == LONGEST_LINE
    screen, watch = io.StringIO(), Watch()
    TerminalHandler(screen, None, watch).emit(record(text, RuntimeError(text)))
    assert screen.getvalue().removesuffix("\n").isprintable()


def test_a_flood_is_cut_short_and_counted(tmp_path: Path) -> None:
    screen, watch = io.StringIO(), Watch()
    terminal, file = TerminalHandler(screen, None, watch), LogFile(tmp_path / "serve.log", watch)
    for _ in range(100):
        for handler in (terminal, file):
            handler.emit(record("a fault", RuntimeError()))
            handler.emit(record("a bad request"))
    watch.now += WINDOW_S
    for handler in (terminal, file):
        handler.emit(record("a fault", RuntimeError()))
    file.close()
    shown = screen.getvalue().splitlines()
    assert len(shown) == MOST_TOLD + 1
    assert str(100 - MOST_TOLD) in shown[-1]
    written = (tmp_path / "serve.log").read_text(encoding="utf-8")
    assert written.count("a fault") == MOST_FAULTS + 1
    assert written.count("a bad request") == MOST_NOTES
    assert str(100 - MOST_FAULTS) in written


def test_the_files_are_bounded(tmp_path: Path) -> None:
    file = LogFile(tmp_path / "serve.log", watch := Watch())
    error = RuntimeError("\n".join("x" * 1000 for _ in range(200)))
    for _ in range(200):
        watch.now += WINDOW_S
        file.emit(record("a fault", error))
    file.close()
    sizes = [one.stat().st_size for one in tmp_path.iterdir()]
    assert len(sizes) == MOST_FILES + 1
    assert max(sizes) <= MOST_FILE_BYTES
    assert {stat.S_IMODE(one.stat().st_mode) for one in tmp_path.iterdir()} == {0o600}


def test_a_log_that_cannot_be_written_is_no_further_fault(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("")
    screen = io.StringIO()
    with logged(tmp_path / "file" / "serve.log", screen):
        failing()
    assert len(screen.getvalue().splitlines()) == 1
    assert capfd.readouterr().err == ""


def test_a_terminal_that_is_gone_is_no_further_fault(capfd: pytest.CaptureFixture[str]) -> None:
    screen = io.StringIO()
    screen.close()
    with logged(None, screen):
        failing()
    assert capfd.readouterr().err == ""
