"""How a document is declared: its tables and keys, the values they hold, and the bounds of both."""
