"""The page beside the machine."""
