"""Printed sheets: templates, and the drawings and numbers they place."""
