"""Design and fit: which cylinder, which ease, how many rounds."""
