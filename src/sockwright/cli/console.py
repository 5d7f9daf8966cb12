"""The user's computer: the terminal that is printed to, and the folders of their own files."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Sequence
from io import StringIO
from pathlib import Path
from typing import TextIO

from platformdirs import user_config_path, user_data_path, user_log_path
from rich.console import Console, RenderableType

from sockwright.errors import CannotMake, NotProven, OrderError, SockwrightError, keys_words
from sockwright.order.file import load_order
from sockwright.order.model import Order

PAGE_WIDTH = 100
"""Columns printed where the output is no terminal."""
EXIT_REFUSED = 1
EXIT_USAGE = 2


def console(file: TextIO) -> Console:
    """A console on `file`: no wider than a page is comfortable to read."""
    width = PAGE_WIDTH
    if file.isatty():
        width = min(PAGE_WIDTH, shutil.get_terminal_size().columns)
    return Console(file=file, width=width, highlight=False, soft_wrap=False, emoji=False)


def print_lines(parts: Iterable[RenderableType]) -> None:
    """Print the parts of a text one under the other; into a file or pipe as plain text."""
    if not sys.stdout.isatty():
        sys.stdout.write(plain_text(parts))
        return
    out = console(sys.stdout)
    for part in parts:
        out.print(part, markup=False)


def plain_text(parts: Iterable[RenderableType]) -> str:
    """The parts as plain lines without blanks at their ends."""
    page = StringIO()
    out = console(page)
    for part in parts:
        out.print(part, markup=False)
    return "".join(f"{line.rstrip()}\n" for line in page.getvalue().splitlines())


def show_progress(names: Sequence[str]) -> Iterable[str]:
    """Hands `names` on one by one and shows on the terminal how far it is; Ctrl-C stops it."""
    from rich.progress import track

    return track(
        names,
        description="Printing",
        console=console(sys.stderr),
        transient=True,
        disable=not sys.stderr.isatty(),
    )


def print_note(note: str) -> None:
    """Print what its user should know of a work that is done, to stderr."""
    console(sys.stderr).print(str(note), markup=False)


def print_error(error: SockwrightError) -> int:
    """Print an error to stderr; returns the exit status it stands for."""
    out = console(sys.stderr)
    if isinstance(error, OrderError):
        count = len(error.problems)
        out.print(f"The order has {count} problem{'s' if count > 1 else ''}:", markup=False)
        for problem in error.problems:
            out.print(f"  {problem.path}: {problem.wrong!s}", markup=False)
            out.print(f"      {problem.right!s}", markup=False)
        return EXIT_USAGE
    if isinstance(error, NotProven):
        out.print(str(error), markup=False)
        return EXIT_REFUSED
    if isinstance(error, CannotMake):
        out.print(f"This sock cannot be made as asked: {error.reason!s}.", markup=False)
        for offer in error.offers:
            write = f" Write {keys_words(offer.what)!s}." if offer.what else ""
            out.print(f"  What can: {offer.change!s} ({offer.effect!s}).{write}", markup=False)
        return EXIT_REFUSED
    out.print(str(error), markup=False)
    return EXIT_USAGE


def machines_folder() -> Path:
    """The folder of machine files kept for all orders, in the platform's settings folder."""
    return user_config_path("sockwright", appauthor=False) / "machines"


def workshop_file() -> Path:
    """The file of the workshop that is kept unless another is named, in the user-data folder."""
    return user_data_path("sockwright", appauthor=False) / "workshop.db"


def made_workshop_file() -> Path:
    """The same, its folder made where there is none, for its owner alone."""
    from sockwright.store.files import make_private_folder

    file = workshop_file()
    try:
        make_private_folder(file.parent)
    except OSError as error:
        raise SockwrightError(
            f"the folder {file.parent} cannot be made ({error.strerror}); make it, or name a "
            "database elsewhere: --database sqlite:////path/to/workshop.db"
        ) from error
    return file


def certificates_folder() -> Path:
    """Where the certificates that a workshop makes for itself are kept, in the user-data folder."""
    return user_data_path("sockwright", appauthor=False) / "certificates"


def log_file() -> Path:
    """Where a workshop that is served writes what went wrong, in the platform's folder for logs."""
    return user_log_path("sockwright", appauthor=False) / "serve.log"


def read_order(path: Path) -> Order:
    """The order at `path`, its machine file found beside it or in the user's folder."""
    return load_order(path, machines=machines_folder())
