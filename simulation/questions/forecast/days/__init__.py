"""What happens by day: not ready yet, hours lost, hours at work."""
