"""`python -m sockwright` is the `sockwright` command."""

from sockwright.cli import main

main()
