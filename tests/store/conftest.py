"""The databases that the store is tested on."""

from databases import url, urls

__all__ = ["url", "urls"]
