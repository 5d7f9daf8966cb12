"""What was knitted, read off the loop table."""
