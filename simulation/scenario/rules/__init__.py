"""What cannot be true together in a scenario whose every value is well written."""
