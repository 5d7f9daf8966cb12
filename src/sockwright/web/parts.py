"""What the app is made of, handed to every request: nothing is global."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined

from sockwright.order.values import LONGEST_NOTE, LONGEST_TEXT
from sockwright.web.bench_log_file import MOST_FILE_BYTES
from sockwright.web.damage_address import damage_address
from sockwright.web.door import Door
from sockwright.web.reach import NO_REACH, Reach
from sockwright.web.tokens import Proofs
from sockwright.web.workers import InProcess, Tools, WorkerPool, Workers
from sockwright.workshop.plans import Plans
from sockwright.workshop.printing import Press
from sockwright.workshop.workshop import Workshop


@dataclass(frozen=True)
class Parts:
    """The workshop, the templates, the proofs of forms, the version of the static files, who does
    the work, the door of a workshop that others can reach, and how they do."""

    shop: Workshop
    templates: Environment
    proofs: Proofs
    static_version: str
    workers: Workers
    door: Door | None = None
    reach: Reach = NO_REACH


def static_folder() -> Path:
    """Where the style, scripts and faces lie."""
    return Path(str(files("sockwright.web").joinpath("static")))


def make_parts(
    shop: Workshop, door: Door | None = None, reach: Reach = NO_REACH, count: int = 0
) -> Parts:
    """The parts of an app over `shop`, behind `door` if there is one.

    `count` other processes do the work, 0 being none.
    """
    version = static_version()
    templates = _templates(version)
    own = InProcess(Tools(shop.plans, templates, shop.press))
    workers: Workers = WorkerPool(count, own) if count else own
    return Parts(shop, templates, Proofs(), version, workers, door, reach)


def make_tools() -> Tools:
    """Tools for a process that has none of the parts."""
    return Tools(Plans(), _templates(static_version()), Press())


@cache
def _templates(version: str) -> Environment:
    """The templates, which are read once: they hold nothing of a workshop."""
    templates = Environment(
        loader=PackageLoader("sockwright.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    # Data in a page: no blanks between, and letters as they are.
    templates.policies["json.dumps_kwargs"] = {"separators": (",", ":"), "ensure_ascii": False}
    templates.globals["static"] = lambda name: f"/static/{version}/{name}"
    templates.globals["longest_text"] = LONGEST_TEXT
    templates.globals["longest_note"] = LONGEST_NOTE
    templates.globals["longest_log"] = MOST_FILE_BYTES
    templates.globals["damage_address"] = damage_address
    templates.globals["cap"] = lambda text: text[:1].upper() + text[1:]
    return templates


@cache
def static_version() -> str:
    """A name for the state of the static files: browsers may keep them for ever under it."""
    total = sha256()
    for path in sorted(one for one in static_folder().rglob("*") if one.is_file()):
        total.update(path.name.encode() + path.read_bytes())
    return total.hexdigest()[:12]
