"""What was written on site: the log of a job that has begun, and what it says about how fast things go."""
