"""The same as data, a module for each kind of page."""
