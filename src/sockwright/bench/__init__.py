"""What is counted at the machine: a sock as beats, the log of one, and what follows from it."""
