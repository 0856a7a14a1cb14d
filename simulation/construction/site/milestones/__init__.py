"""What a milestone that is reached brings: gates that open, flying windows, temporary ends."""
