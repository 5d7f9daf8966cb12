"""Kept things in the browser."""
