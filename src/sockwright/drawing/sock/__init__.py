"""The sock in side view."""
