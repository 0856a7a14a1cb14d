"""A field that is taken up: gangs, handlers, forklifts and trucks, one run after the other."""
