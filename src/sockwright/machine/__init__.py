"""The machine on the bench."""
