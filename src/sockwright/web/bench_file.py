"""The bench of one sock as a single file: page, style, faces, scripts and data, for any device."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from sockwright.web.bundle import bundled
from sockwright.web.parts import static_folder
from sockwright.web.visit import Visit

STYLES: Final = ("style.css", "bench/bench.css")
SCRIPTS: Final = "bench"
ENTRY: Final = "bench.js"

_FACE: Final = re.compile(r'url\("([\w-]+\.woff2)"\)')


@dataclass(frozen=True)
class Inside:
    """What stands within the page itself; `policy` lets it use that, and ask nobody for more."""

    style: str
    script: str
    policy: str


def bench_file(visit: Visit, context: Mapping[str, Any]) -> str:
    """The page that the context makes, with nothing left outside it."""
    return visit.text("bench.html", inside=inside(static_folder()), **context)


def inside(folder: Path) -> Inside:
    """Style, scripts and policy of the page out of the static files in `folder`."""
    style = "\n".join((folder / name).read_text(encoding="utf-8") for name in STYLES)
    style = _FACE.sub(lambda found: f'url("{_data(folder / found[1])}")', style)
    modules = {path.name: path.read_text(encoding="utf-8") for path in _modules(folder)}
    script = bundled(modules, ENTRY)
    policy = "; ".join(
        (
            "default-src 'none'",
            f"script-src {_hash(script)}",
            f"style-src {_hash(style)}",
            "font-src data:",
            "img-src data:",
            "form-action 'none'",
            "base-uri 'none'",
        )
    )
    return Inside(style, script, policy)


def _modules(folder: Path) -> list[Path]:
    return sorted((folder / SCRIPTS).glob("*.js"))


def _data(file: Path) -> str:
    return f"data:font/woff2;base64,{b64encode(file.read_bytes()).decode()}"


def _hash(text: str) -> str:
    """What a policy calls the text of an element by."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"
