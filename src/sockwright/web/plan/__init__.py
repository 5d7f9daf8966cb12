"""Planning in the browser."""
