"""The pages, a module for each kind."""
