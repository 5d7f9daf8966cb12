"""Forms made of the order's own declarations."""
