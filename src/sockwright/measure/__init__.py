"""From readings to best estimates with their standard deviations."""
