"""From a scenario to the plain numbers that a worker simulates."""
