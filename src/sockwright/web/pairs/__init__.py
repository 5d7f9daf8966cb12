"""Pairs in the browser."""
