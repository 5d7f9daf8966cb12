"""Feet, cards and figures to measure by."""
