"""What weather does the scenario expect, and which work does it stop?"""

from __future__ import annotations

from typing import Literal

from simulation.scenario.section import Duration, Period, Section, WeatherStep, written

Work = Literal["laying", "forklift", "haul", "grading"]


class Weather(Section):
    """Wet and dry spells as a two-state chain."""

    model: Literal["chain", "none"] = "chain"
    """`chain` draws spells whose lengths are geometric in steps; `none` is dry throughout."""
    step: WeatherStep = written("1 h")
    """Step of the chain. Planning value."""
    wet_spell: Period = written("3.4 h")
    """Mean length of a wet spell. Planning value, fit to one year of hourly records of a coastal station (in-sample)."""
    dry_spell: Period = written("48 h")
    """Mean length of a dry spell. Planning value, from the same fit."""
    rain_stops: tuple[Work, ...] = ("laying", "forklift", "grading")
    """Kinds of work that stop while it rains. Planning value."""
    drying: Duration = written("3 h")
    """How long after rain the ground is too wet for grading. Planning value."""
