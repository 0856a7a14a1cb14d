"""Where is the damage? Reads "runway 1,240 ft" as a planner says it, and refuses what lies off the mats."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, NoReturn

from pydantic_core import PydanticCustomError

from simulation.field import AreaRows, make_rows
from simulation.scenario import Mistake, ScenarioError
from simulation.scenario.types.mistakes import did_you_mean, shown
from simulation.scenario.types.quantities.units import read_quantity

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area

_AT = re.compile(r"(?P<area>.*?\S)\s+(?P<station>[-+]?[\d.,]+\s*\D+)")
#: What to write, in feet and in metric: a length, and a point.
SUCH_AS = ('"20 ft"', '"6 m"')
_HOW = (
    'write an area and a station on it, such as "runway 1,240 ft"',
    'write an area and a station on it, such as "runway 378 m"',
)


@dataclass(frozen=True)
class Location:
    """A point on an area: feet from its low end, and from its left edge."""

    area: Area
    rows: AreaRows
    station: float
    across: float


def read_location(scenario: Scenario, at: str, across: str | None = None) -> Location:
    """Return the point that a planner names.

    Parameters
    ----------
    scenario : Scenario
    at : str
        An area and a station on it.
    across : str, optional
        Length from the left edge, looking from low to high. Default: the middle.

    Raises
    ------
    ScenarioError
        If it cannot be read, lies off the area, or inside an end ramp, whose mats are buried.
    """
    parts, how = _AT.fullmatch(at.strip()), _HOW[scenario.measures.metric]
    if parts is None:
        refuse("at", f"{shown(at)} names no station of an area", how)
    areas = {area.name: area for area in scenario.area}
    name = parts["area"].rstrip(" :,")
    if name not in areas:
        refuse("at", f"there is no area {shown(name)}", did_you_mean(name, areas))
    area, measures = areas[name], scenario.measures.length
    station = read_length("at", parts["station"].replace(",", ""), how)
    if not 0.0 <= station <= area.length:
        refuse("at", f"{measures.text(station)} lies off {name}", f"write 0 to {measures.text(area.length)}")
    beside = (
        0.5 * area.width
        if across is None
        else read_length("across", across, f"write a length, such as {SUCH_AS[scenario.measures.metric]}")
    )
    if not 0.0 <= beside <= area.width:
        refuse("across", f"{measures.text(beside)} lies off {name}", f"write 0 to {measures.text(area.width)}")
    rows = make_rows(area, scenario.mat)
    if rows.row_at(station) in rows.ramps:
        deep = len(rows.ramps) // 2 * rows.depth
        low, high = measures.text(deep), measures.text(area.length - deep)
        right = f"write {low} to {high}: mats of a ramp are dug out with it"
        refuse("at", f"{measures.text(station)} lies in an end ramp, whose mats are buried", right)
    return Location(area, rows, station, beside)


def read_length(option: str, text: str, how: str) -> float:
    """Return a length in feet.

    Raises
    ------
    ScenarioError
        If it is none.
    """
    try:
        return read_quantity("length", text.strip())
    except PydanticCustomError:
        refuse(option, f"{shown(text)} is no length", how)


def refuse(option: str, wrong: str, right: str) -> NoReturn:
    """Refuse an option."""
    raise ScenarioError("repair", [Mistake(f"--{option}", wrong, right)])
