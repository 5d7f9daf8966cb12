"""The tables of a page as a reader meets them: rows of cells, each with its words and its links."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

UNITS = "cm|mm|in|m|yd|g|min|%|times|tex|rounds|rows"
QUANTITY = re.compile(rf"±|\d\s*(?:{UNITS})\b|\d %")
"""A number that was measured or reckoned: with a ± or a unit."""


@dataclass
class Cell:
    """A cell of a table, or a line of a list of numbers; `asks` where it is there for a "?"."""

    asks: bool = False
    words: str = ""
    links: list[str] = field(default_factory=list)


class Tables(HTMLParser):
    """Every row of a page's tables, and every line of its lists of numbers as a row of one cell."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.rows: list[list[Cell]] = []
        self._cell: Cell | None = None
        self._lists = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        classes = (given.get("class") or "").split()
        if tag == "ul":
            self._lists = self._lists + 1 if self._lists else int("asks" in classes)
        if tag == "tr" or (tag == "li" and self._lists):
            self.rows.append([])
        if tag in ("td", "th") or (tag == "li" and self._lists):
            self._cell = Cell("ask" in classes)
            self.rows[-1].append(self._cell)
        if tag == "a" and self._cell is not None:
            self._cell.links.append(given.get("href") or "")

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "li"):
            self._cell = None
        if tag == "ul" and self._lists:
            self._lists -= 1

    def handle_data(self, data: str) -> None:
        if self._cell is not None:
            self._cell.words += data


def numbers(text: str) -> Iterator[tuple[str, list[str]]]:
    """Every cell of a page that has a quantity, with the links that lead on from it: its own, and
    those at the end of its row."""
    for row in Tables(text).rows:
        asked = [link for cell in row if cell.asks for link in cell.links]
        name = " ".join(row[0].words.split()) if row else ""
        for cell in row:
            if QUANTITY.search(cell.words):
                yield f"{name}: {' '.join(cell.words.split())}", [*cell.links, *asked]
