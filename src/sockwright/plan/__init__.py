"""The plan: from an order to a proven plan, its numbers, its notes, and where they come from."""
