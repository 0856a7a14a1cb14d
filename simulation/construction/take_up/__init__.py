"""A field that is taken up: crews at key strips, their handlers, forklifts to the yard, loads out of it."""
