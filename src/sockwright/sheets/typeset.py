"""Typesetting: a template, its data and its drawings become a PDF, the same bytes every time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from typing import Any

from sockwright.sheets.long_words import breakable, composed
from sockwright.sheets.paper import MARGIN_MM, SIZES, Paper

HOUSE = "house.typ"


def typeset(
    template: str, data: Mapping[str, Any], drawings: Mapping[str, str], paper: Paper
) -> bytes:
    """The PDF of `templates/<template>.typ`.

    The template finds `data` and the page (`width`, `height`, `margin`, mm) as one dictionary, and
    each drawing as the SVG file `<name>.svg`. Texts in `data` are set as they are, but for hidden
    breaks in long words: nothing in them is read as markup.
    """
    import typst

    size = SIZES[paper]
    page = {"width": size.width_mm, "height": size.height_mm, "margin": MARGIN_MM}
    # typst takes a dictionary of files too, which its own types do not say.
    parts: Any = {
        "main.typ": _template(template),
        HOUSE: _template(HOUSE.removesuffix(".typ")),
        **{f"{name}.svg": composed(svg).encode() for name, svg in drawings.items()},
    }
    pdf = typst.compile(
        parts,
        font_paths=[_fonts()],
        ignore_system_fonts=False,
        sys_inputs={"data": json.dumps({**breakable(dict(data), drawings), "page": page})},
    )
    assert isinstance(pdf, bytes)
    return pdf


@cache
def _template(name: str) -> bytes:
    return files("sockwright.sheets").joinpath("templates", f"{name}.typ").read_bytes()


@cache
def _fonts() -> str:
    """The folder of the shipped typefaces; they come before the system's, which only fill in
    letters that ours do not have."""
    with as_file(files("sockwright.fonts").joinpath("AtkinsonHyperlegibleNext-Regular.ttf")) as one:
        return str(one.parent)
