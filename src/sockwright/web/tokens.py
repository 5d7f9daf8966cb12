"""A form's proof that one of our own pages made it: a keyed hash of the browser's own number."""

from __future__ import annotations

import hmac
import secrets
from hashlib import sha256
from typing import Final

COOKIE: Final = "sockwright_browser"
FIELD: Final = "proof"
HEADER: Final = "x-proof"


class Proofs:
    """Makes and checks proofs; the key lives as long as the program runs."""

    def __init__(self) -> None:
        self._key = secrets.token_bytes(32)

    def new_browser(self) -> str:
        """A number for a browser that has none yet."""
        return secrets.token_urlsafe(24)

    def proof(self, browser: str) -> str:
        """The proof that a form for `browser` carries."""
        return hmac.new(self._key, browser.encode(), sha256).hexdigest()

    def holds(self, browser: str | None, proof: str | None) -> bool:
        """Whether a form came from one of our pages in this browser."""
        if not browser or not proof:
            return False
        return hmac.compare_digest(self.proof(browser).encode(), proof.encode())
