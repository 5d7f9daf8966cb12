"""Drawings of the machine, the sock and the chart, as SVG documents true to scale in mm."""
