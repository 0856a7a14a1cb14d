"""What are the files of a forecast called? Apart, because they are asked for before its first run begins."""

from __future__ import annotations

#: Name of the sheet with a row for each run.
RUNS_SHEET = "runs.csv"
#: Names of the picture that every forecast comes with, and of the further ones, in their order.
S_CURVE = "s_curve"
FURTHER = ("progress", "strips", "stations", "mats", "after_rows", "causes", "use", "losses", "laying_rates")
