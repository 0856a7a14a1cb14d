"""What does a name in a scenario stand for, where that is a plain number? Apart from the tables, which workers do not load."""

from __future__ import annotations

import math

MONTHS = 12
#: As a planner writes them; a date's `weekday()` is its place here.
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
#: Scatter by name -> shape of the gamma distribution of mean 1 that it stands for.
SHAPES = {"exponential": 1, "erlang-2": 2}
#: Class of rain from which on work stops -> mm/h above which it does. Light rain is up to 2.5, moderate up to 7.6, heavy
#: above (AMS glossary).
RAIN_CLASSES = {"any": 0.0, "moderate": 2.5, "heavy": 7.6, "never": math.inf}
#: Texture -> (readily, totally evaporable water in mm): middle of the ranges of FAO-56, table 19 (from memory).
TEXTURES = {"sand": (4.5, 9.0), "sandy loam": (8.0, 17.5), "loam": (9.0, 19.0), "clay": (10.0, 25.5)}
