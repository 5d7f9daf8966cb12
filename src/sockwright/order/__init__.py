"""What a maker says of a foot, a yarn and a machine: read, checked, written back."""

from sockwright.order.model import Order
from sockwright.order.template import new_order
from sockwright.order.toml_file import load_machine, load_order, parse_order
from sockwright.order.toml_text import to_toml

__all__ = ["Order", "load_machine", "load_order", "new_order", "parse_order", "to_toml"]
