"""Every loop a cell."""
