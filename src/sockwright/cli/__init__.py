"""The command line."""

from sockwright.cli.app import main

__all__ = ["main"]
