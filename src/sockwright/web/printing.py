"""Sheets over the web: one file of a plan to look at or print, or all of them in one archive."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Hashable
from dataclasses import dataclass
from urllib.parse import quote

from fastapi.responses import Response

from sockwright.errors import NotProven
from sockwright.i18n.messages import _
from sockwright.plan.make import PairPlan
from sockwright.web.context import RequestContext
from sockwright.web.errors import NoPage
from sockwright.web.workers import Tools
from sockwright.workshop.printing import PAPERS, zipped

ARCHIVE = "all.zip"
MEDIA = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "zip": "application/zip",
    "toml": "application/toml",
    "json": "application/json",
    "csv": "text/csv",
    "html": "text/html",
}
"""The media type of each kind of file that goes out."""

LONGEST_NAME = 80
"""Characters of a title that a file's name takes."""


def paper_of(context: RequestContext) -> str:
    """The paper that the address asks for, else the one this browser prefers."""
    asked = context.request.query_params.get("paper", "")
    return asked if asked in PAPERS else context.preferences.paper


@dataclass(frozen=True)
class PrintSheets:
    """Prints a file of a plan's sheets, or all of them in one archive."""

    pair: PairPlan
    paper: str
    file: str
    sheet: str | None
    language: str

    heavy = True

    @property
    def key(self) -> Hashable:
        """Jobs of one key are quick after one another; these are not."""
        return None

    def done(self, tools: Tools) -> bytes:
        """The file; raises as `Workshop.print_plan`."""
        files = tools.press.print_plan(self.pair, self.paper, self.sheet, self.language)
        return zipped(files) if self.sheet is None else files[self.file]


async def sheet_answer(context: RequestContext, pair: PairPlan, file: str) -> Response:
    """A file of the plan's sheets; NoPage for a name that none has.

    A plan that is not proven is answered with a page that says why there are no sheets.
    """
    every = {one.file: one.sheet for one in context.shop.sheet_files(pair)}
    if file != ARCHIVE and file not in every:
        raise NoPage(
            _("no sheet is called {file}; there are {files}", file=file[:80], files=tuple(every))
        )
    try:
        content = await context.done(
            PrintSheets(
                context.shown(pair),
                paper_of(context),
                file,
                every.get(file),
                context.preferences.language,
            )
        )
    except NotProven as refusal:
        return context.page(
            "not_proven.html",
            409,
            title=pair.order.title,
            reason=refusal.message,
            back=_back(context),
        )
    return file_answer(
        content, context.locale.named(pair.order.title), file, inline=file != ARCHIVE
    )


def _back(context: RequestContext) -> str:
    """The page that the sheets belong to: a pair's own, or the planning page with its choice."""
    url = context.request.url
    page = url.path.partition("/sheets/")[0]
    return f"{page}?{url.query}" if page == "/plan" and url.query else page


def file_answer(content: bytes, title: str, file: str, inline: bool = False) -> Response:
    """A file to look at (`inline`) or to keep, named by a title and its own name."""
    name = file_name(title, file)
    kind = "inline" if inline else "attachment"
    # Names in other letters go as RFC 6266 has it, with a plain one for what cannot read them.
    disposition = f"{kind}; filename=\"{_plain(name)}\"; filename*=UTF-8''{quote(name, safe='')}"
    media = MEDIA[file.rpartition(".")[2]]
    return Response(content, media_type=media, headers={"content-disposition": disposition})


def file_name(title: str, file: str) -> str:
    """The name under which a file is kept: "boot-socks-for-the-winch-operator-crank.pdf"."""
    words = re.findall(r"\w+", unicodedata.normalize("NFC", str(title)).casefold())
    stem = "-".join(words)[:LONGEST_NAME].strip("-")
    return f"{stem}-{file}" if stem else file


def _plain(name: str) -> str:
    """The name in the signs that every program reads."""
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return re.sub(r"-+", "-", re.sub(r"[^A-Za-z0-9._-]", "", letters)).strip("-")
