"""The workshop in the browser: pages and data over the workshop's use cases."""
