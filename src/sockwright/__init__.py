"""Sockwright: from a foot, a yarn and a circular sock machine to a proven crank program."""

__version__ = "0.1.0"
