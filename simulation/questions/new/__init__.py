"""A scenario to start from."""
