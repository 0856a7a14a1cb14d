"""What is said of runs that were not ready by the last day simulated: what they lack, and who waits for what?"""

from __future__ import annotations

from simulation.present import wording
from simulation.present.figure import listed
from simulation.questions.forecast.outrun import Outrun


def outrun_lines(found: Outrun | None) -> list[str]:
    """Return the sentences; none where every run was ready."""
    if found is None:
        return []
    runs = "the run that was" if found.runs == 1 else f"the {found.runs:,} runs that were"
    lines = [
        f"In {runs} not ready, {wording.percent(found.share)} of the field is not laid by the last day simulated{_waits(found)}."
    ]
    lacking = [
        f"{lack:,.0f} of {left:,.0f} {kind} mats"
        for kind, left, lack in (("full", found.full, found.full_lacking), ("half", found.half, found.half_lacking))
        if lack >= 0.5
    ]
    if lacking:
        to_come = (
            f"; {found.to_come:,.0f} pallets have not arrived yet" if found.to_come >= 0.5 else "; no more pallets are expected"
        )
        lines.append(f"Missing on the last day simulated: {listed(lacking)} still to be laid{to_come}.")
    elif found.full + found.half >= 0.5:
        lines.append(f"The mats for the rest are on site: {found.full:,.0f} full and {found.half:,.0f} half mats.")
    return lines


def _waits(found: Outrun) -> str:
    if not found.waits:
        return "; rows are being laid" if found.full + found.half >= 0.5 else "; final sweep, inspection and marking is not done"
    each = [f"{what}{'' if share == 1.0 else f' in {wording.percent(share)}'}" for what, share in found.waits]
    return f"; laying edges wait for {listed(each)}"
