"""How does the ground dry after rain, and what do wet roads cost the trucks?"""

from typing import Annotated, Literal

from pydantic import Field

from simulation.scenario.tables.sky import Work
from simulation.scenario.types.section import MOST_ENTRIES, Extent, Gap, Number, Section, Share, at_most, reader_of, written
from simulation.scenario.types.usual_range import Usual

# A day of the hottest desert wind takes less than half as much (planning value).
Evaporated = Annotated[float, reader_of("length", most="50 mm"), Field(gt=0)]


class Soil(Section):
    """Two-stage drying of bare ground (FAO-56); where [soil] is written, work waits for it instead of weather.drying."""

    texture: Literal["sand", "sandy loam", "loam", "clay"] = "sandy loam"
    """What the ground is. Planning value."""
    readily: Annotated[Gap | None, Usual("depth", "1 mm", "30 mm")] = None
    """Depth of water that evaporates as fast as the sky takes it. Default: by texture."""
    totally: Annotated[Gap | None, Usual("depth", "2 mm", "80 mm")] = None
    """Depth of water that evaporates at all. Default: by texture."""
    workable: Annotated[Number, Field(gt=0, lt=1), Usual("share", 0.02, 0.98)] = 0.4
    """Share of `totally` that must have dried out before work goes on. Planning value."""
    dried_out: Annotated[Share, Usual("share", 0.01, 1.0)] = 0.6
    """Share of `totally` that has dried out at the start. Planning value."""
    evaporation: Annotated[Evaporated | None, Usual("depth", "0.3 mm", "15 mm")] = None
    """What the sky takes a day, on average. Default: from the day's range of temperature and the sun (Hargreaves)."""
    waits: Annotated[tuple[Work, ...], at_most(MOST_ENTRIES)] = ("grading",)
    """Kinds of work that wait for workable ground. Planning value."""


class Roads(Section):
    """Haul roads that rain softens; where [roads] is written, they slow the trucks while they are wet."""

    wet_at: Annotated[Gap, Usual("depth", "0.5 mm", "150 mm")] = written("10 mm")
    """Antecedent precipitation index from which on they are wet. Planning value."""
    keeps: Annotated[Number, Field(gt=0, lt=1), Usual("share", 0.4, 0.995)] = 0.9
    """Share of the index that a day leaves. Planning value; 0.85 to 0.98 are in use (from memory)."""
    rate: Annotated[Number, Field(gt=0, le=1), Usual("share", 0.1, 1.0)] = 0.7
    """Speed on wet roads, 1 being that on dry ones. Planning value."""
    before: Annotated[Extent, Usual("depth", "0.1 mm", "300 mm")] = written("0 mm")
    """The index at the start. Default: dry roads (planning value)."""
