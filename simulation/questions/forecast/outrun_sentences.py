"""Runs that the last day simulated outran, in sentences: what they lack, and who waits for what."""

from __future__ import annotations

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.questions.forecast.outrun import Outrun
from simulation.questions.forecast.study import Forecast


def say_outrun(forecast: Forecast) -> list[str]:
    """Return what is said of runs that were not ready; nothing where all were."""
    if forecast.outrun is None:
        return []
    return say_not_up(forecast.outrun) if forecast.scenario.takes_up else say_not_laid(forecast.outrun)


def say_not_up(outrun: Outrun) -> list[str]:
    """Return how much of a field still lies in runs that did not take it up, and what crews wait for."""
    waits = f"; crews wait for {_say_each(outrun)}" if outrun.waits else ""
    still = f"{wording.percent(outrun.share)} of the field still lies by the last day simulated"
    return [f"In {_name_runs(outrun)} not done, {still}{waits}."]


def say_not_laid(outrun: Outrun) -> list[str]:
    """Return how much is not laid in runs that were not ready, what mats are missing, and what laying edges wait for."""
    left = f"{wording.percent(outrun.share)} of the field is not laid by the last day simulated"
    lines = [f"In {_name_runs(outrun)} not ready, {left}{_say_waits(outrun)}."]
    lacking = [
        f"{lack:,.0f} of {left:,.0f} {kind} mats"
        for kind, left, lack in (("full", outrun.full, outrun.full_lacking), ("half", outrun.half, outrun.half_lacking))
        if lack >= 0.5
    ]
    if lacking:
        to_come = (
            f"; {outrun.to_come:,.0f} pallets have not arrived yet" if outrun.to_come >= 0.5 else "; no more pallets are expected"
        )
        lines.append(f"Missing on the last day simulated: {listed(lacking)} still to be laid{to_come}.")
    elif outrun.full + outrun.half >= 0.5:
        lines.append(f"The mats for the rest are on site: {outrun.full:,.0f} full and {outrun.half:,.0f} half mats.")
    return lines


def _say_waits(outrun: Outrun) -> str:
    if outrun.closed:
        return f"; {outrun.closed} is flown from, and its windows leave the crews no hour to lay there"
    if not outrun.waits:
        return (
            "; rows are being laid" if outrun.full + outrun.half >= 0.5 else "; final sweep, inspection and marking is not done"
        )
    return f"; laying edges wait for {_say_each(outrun)}"


def _say_each(outrun: Outrun) -> str:
    return listed([f"{what}{'' if share == 1.0 else f' in {wording.percent(share)}'}" for what, share in outrun.waits])


def _name_runs(outrun: Outrun) -> str:
    return "the run that was" if outrun.runs == 1 else f"the {outrun.runs:,} runs that were"
