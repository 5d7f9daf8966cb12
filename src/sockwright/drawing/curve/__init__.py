"""The curve of a stitch cam as a plot."""
