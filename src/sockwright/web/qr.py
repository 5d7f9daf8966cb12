"""An address as a QR code for a camera, drawn as one path within a page."""

from __future__ import annotations

from html import escape
from typing import Final

QUIET: Final = 4
"""Light modules round the code (ISO/IEC 18004)."""


def qr_svg(text: str, title: str) -> str:
    """The code of a text as SVG, named by `title`.

    Its colours are those of the classes `qr-paper` and `qr-ink` of the page's style: dark on light
    in every theme, for many cameras read nothing else.
    """
    import segno

    code = segno.make(text, error="m", micro=False)
    rows = [bytes(row) for row in code.matrix]
    side = len(rows) + 2 * QUIET
    dark = "".join(
        f"M{x + QUIET} {y + QUIET}h1v1h-1z"
        for y, row in enumerate(rows)
        for x, module in enumerate(row)
        if module
    )
    return (
        f'<svg class="qr" viewBox="0 0 {side} {side}" role="img" aria-label="{escape(title)}"'
        ' shape-rendering="crispEdges">'
        f'<path class="qr-paper" d="M0 0h{side}v{side}h-{side}z"/>'
        f'<path class="qr-ink" d="{dark}"/></svg>'
    )
