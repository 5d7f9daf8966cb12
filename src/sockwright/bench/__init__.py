"""What is counted at the machine: a sock as counts, the log of one, and what follows from it."""
