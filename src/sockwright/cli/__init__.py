"""The command line."""

import gc

# Nearly all that is made until a command is done stays until then: the collector would walk over it
# again and again, a tenth of a short command's time. `serve` sets a measure of its own.
gc.set_threshold(100_000)

from sockwright.cli.app import main  # noqa: E402

__all__ = ["main"]
