"""The forms of a page as a browser has them: their addresses and what their fields would send."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class PageForm:
    """A form: where it goes, and its fields in order; `faults` are those marked wrong."""

    action: str
    method: str = "get"
    fields: list[tuple[str, str]] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    buttons: list[tuple[str, str]] = field(default_factory=list)

    def sent(self, **typed: str) -> list[tuple[str, str]]:
        """What it sends with some fields typed over; a "." in a name is written "__"."""
        changed = {name.replace("__", "."): text for name, text in typed.items()}
        assert changed.keys() <= dict(self.fields).keys(), changed
        return [(name, changed.get(name, text)) for name, text in self.fields]

    def with_fields(self, typed: dict[str, str]) -> list[tuple[str, str]]:
        """What it sends with some fields typed over, and others added."""
        return [*((n, typed.get(n, t)) for n, t in self.fields)] + [
            (name, text) for name, text in typed.items() if name not in dict(self.fields)
        ]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[PageForm] = []
        self._open: PageForm | None = None
        self._select: list[str] | None = None
        self._area: list[str] | None = None
        self._name = ""

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attributes}
        if tag == "form":
            self._open = PageForm(given.get("action", ""), given.get("method", "get"))
            self.forms.append(self._open)
        if self._open is None:
            return
        if given.get("aria-invalid") == "true":
            self._open.faults.append(given["name"])
        if tag == "input":
            self._input(given)
        elif tag == "select":
            self._name, self._select = given["name"], []
        elif tag == "option" and self._select is not None:
            if "selected" in given or not self._select:
                self._select[:] = [given["value"]]
        elif tag == "textarea":
            self._name, self._area = given["name"], []
        elif tag == "button" and "name" in given:
            self._open.buttons.append((given["name"], given["value"]))

    def _input(self, given: dict[str, str]) -> None:
        assert self._open is not None
        if given.get("type") in ("checkbox", "radio") and "checked" not in given:
            return
        self._open.fields.append((given["name"], given.get("value", "")))

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.append(data)

    def handle_endtag(self, tag: str) -> None:
        if self._open is None:
            return
        if tag == "form":
            self._open = None
        elif tag == "select" and self._select is not None:
            self._open.fields.append((self._name, self._select[0]))
            self._select = None
        elif tag == "textarea" and self._area is not None:
            # A browser drops the line break that follows the tag, and sends lines its own way.
            text = "".join(self._area).removeprefix("\n")
            self._open.fields.append((self._name, text.replace("\n", "\r\n")))
            self._area = None


def forms(text: str) -> list[PageForm]:
    """All forms of a page."""
    reader = _Reader()
    reader.feed(text)
    return reader.forms


def form_to(text: str, action: str) -> PageForm:
    """The one form of a page that goes to an address."""
    (found,) = [one for one in forms(text) if one.action == action]
    return found
