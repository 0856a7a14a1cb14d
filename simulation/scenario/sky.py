"""What weather the scenario expects and which work it stops."""

from __future__ import annotations

from typing import Literal

from simulation.scenario.section import Duration, Period, Section, quantity

Work = Literal["laying", "forklift", "haul", "grading"]


class Weather(Section):
    """Wet and dry spells as a two-state chain."""

    model: Literal["chain", "none"] = "chain"
    """`chain` draws spells whose lengths are geometric in steps; `none` is dry throughout."""
    step: Period = quantity("1 h")
    """Step of the chain. Planning value."""
    wet_spell: Period = quantity("3.4 h")
    """Mean length of a wet spell. Fit to one year of hourly records of a coastal station (in-sample; planning value)."""
    dry_spell: Period = quantity("48 h")
    """Mean length of a dry spell. The same."""
    rain_stops: tuple[Work, ...] = ("laying", "forklift", "grading")
    """Kinds of work that stop while it rains. Planning value."""
    drying: Duration = quantity("3 h")
    """How long after rain the ground is too wet for grading. Planning value."""
