"""The databases that the workshop is tested on."""

from databases import url, urls

__all__ = ["url", "urls"]
