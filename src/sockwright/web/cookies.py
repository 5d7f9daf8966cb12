"""The cookies of this workshop: read, kept and forgotten under a name of their own by scheme.

A browser lets no plain page write over a cookie that an encrypted one has set. With one name for
both, a workshop that was served over TLS once could never again be entered without.
"""

from __future__ import annotations

from typing import Any, Final

from starlette.requests import Request
from starlette.responses import Response

SECURE_PREFIX: Final = "__Host-"
"""Has browsers take the cookie from nobody but this host, and over TLS only (RFC 6265bis)."""

MOST_AGE_S: Final = 400 * 24 * 3600
"""How long a browser keeps our cookies, s: as long as browsers allow."""


def cookie_name(request: Request, name: str) -> str:
    """What a cookie is called where a request came by its scheme."""
    return f"{SECURE_PREFIX}{name}" if _is_secure(request) else name


def read_cookie(request: Request, name: str) -> str | None:
    """What a request's browser keeps by a name; None if nothing."""
    return request.cookies.get(cookie_name(request, name))


def keep_cookie(request: Request, answer: Response, name: str, value: str) -> None:
    """Have the browser keep a cookie, which no script may read."""
    answer.set_cookie(cookie_name(request, name), value, max_age=MOST_AGE_S, **_attributes(request))


def forget_cookie(request: Request, answer: Response, name: str) -> None:
    """Have the browser forget a cookie."""
    answer.delete_cookie(cookie_name(request, name), **_attributes(request))


def _attributes(request: Request) -> dict[str, Any]:
    return {"path": "/", "httponly": True, "samesite": "strict", "secure": _is_secure(request)}


def _is_secure(request: Request) -> bool:
    return request.url.scheme == "https"
