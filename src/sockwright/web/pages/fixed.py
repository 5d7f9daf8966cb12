"""Files that browsers look for at an address of their own choice, or that must lie at the top."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.web.context import static_folder

router = APIRouter()


@router.get("/worker.js")
def keeper() -> Response:
    """The script that keeps the pages beside the machine, from where it may speak for them all."""
    text = (static_folder() / "bench" / "worker.js").read_text(encoding="utf-8")
    return Response(text, media_type="text/javascript", headers={"cache-control": "no-cache"})


@router.get("/favicon.ico")
def icon() -> Response:
    """The icon, for what asks for it by its old name."""
    return Response(
        (static_folder() / "icon.svg").read_bytes(),
        media_type="image/svg+xml",
        headers={"cache-control": "max-age=86400"},
    )
