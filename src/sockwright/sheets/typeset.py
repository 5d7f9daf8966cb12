"""Typesetting: a template, its data and its drawings become a PDF, the same bytes every time."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

from sockwright.sheets.long_words import breakable, composed
from sockwright.sheets.paper import MARGIN_MM, SIZES, Paper
from sockwright.sheets.template_words import template_source, told_words
from sockwright.words import Tongue
from sockwright.words import tongue as tongue_of

if TYPE_CHECKING:
    from typst import Fonts

HOUSE = "house"


def typeset(
    template: str,
    data: Mapping[str, Any],
    drawings: Mapping[str, str],
    paper: Paper,
    language: str = "en",
) -> bytes:
    """The PDF of `templates/<template>.typ`.

    The template finds `data` and the page (`width`, `height`, `margin`, mm) as one dictionary, and
    each drawing as the SVG file `<name>.svg`. Texts in `data` are set as they are, but for hidden
    breaks in long words: nothing in them is read as markup. What is `Said` in `data`, and what the
    template says itself, is told in `language`.
    """
    import typst

    tongue = tongue_of(language)
    size = SIZES[paper]
    page = {"width": size.width_mm, "height": size.height_mm, "margin": MARGIN_MM}
    # typst takes a dictionary of files too, which its own types do not say.
    parts: Any = {
        "main.typ": template_source(template).encode(),
        f"{HOUSE}.typ": template_source(HOUSE).encode(),
        **{f"{name}.svg": composed(svg).encode() for name, svg in drawings.items()},
    }
    pdf = typst.compile(
        parts,
        font_paths=_fonts(),
        sys_inputs={
            "data": json.dumps(
                {
                    **breakable(_told(dict(data), tongue), drawings),
                    "page": page,
                    "language": language,
                    "said": told_words((HOUSE, template), tongue),
                }
            )
        },
    )
    assert isinstance(pdf, bytes)
    return pdf


def _told(data: Any, tongue: Tongue) -> Any:
    """The data with all that is said told; other texts are names and stay."""
    if isinstance(data, str):
        return tongue.named(data)
    if isinstance(data, Mapping):
        return {key: _told(value, tongue) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_told(value, tongue) for value in data]
    return data


@cache
def _fonts() -> Fonts:
    """The shipped typefaces, looked for once; they come before the system's, which only fill in
    letters that ours do not have."""
    from typst import Fonts

    with as_file(files("sockwright.fonts").joinpath("AtkinsonHyperlegibleNext-Regular.ttf")) as one:
        return Fonts(font_paths=[str(one.parent)])
