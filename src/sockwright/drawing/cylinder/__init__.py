"""The ring of needles from above, and what is laid round it."""
