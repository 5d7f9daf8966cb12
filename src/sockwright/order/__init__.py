"""What a maker says of a foot, a yarn and a machine: read, checked, written back."""

from sockwright.order.file import load_machine, load_order, parse_order, to_toml
from sockwright.order.model import Order
from sockwright.order.reference import new_order

__all__ = ["Order", "load_machine", "load_order", "new_order", "parse_order", "to_toml"]
