"""Which layouts of key strips are tried? One distance everywhere, or another one where aircraft touch down; and the plan's own.

A distance is read as whole rows, as it is laid. One of as many rows as the handbook's is tried as the handbook's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pydantic_core import PydanticCustomError

from simulation.field import make_rows
from simulation.scenario import Change, Mistake, ScenarioError, vary
from simulation.scenario.types.mistakes import shown, step_name
from simulation.scenario.types.quantities.measures import FEET
from simulation.scenario.types.quantities.units import read_quantity
from simulation.study.damage.damage_stay import touchdown_zones

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.tables.repair import Damage
    from simulation.scenario.types.quantities.measures import Measures, Unit

#: Feet between key strips by the handbook: NAVEDTRA 14251 ch. 11.
HANDBOOK = 100.0
#: Distances that are tried unless others are asked for; of those by zone the first holds where aircraft touch down, the second
#: elsewhere. Planning values.
EVERY, ZONED = "50 ft,100 ft,150 ft,200 ft,400 ft", "50 ft/100 ft,50 ft/200 ft,100 ft/400 ft"
#: What to write where one cannot be read, in feet and in metric.
SUCH_AS = {"--every": (EVERY, "15 m,30 m,60 m"), "--zoned": (ZONED, "15 m/30 m,30 m/120 m")}
#: Layouts at once. Planning value.
MOST = 12
#: Feet that no table shows: 3 mm.
_SHOWN = 0.01


@dataclass(frozen=True)
class Layout:
    """Where key strips lie.

    Attributes
    ----------
    every : float
        Feet from one to the next.
    close : float or None
        The same where aircraft touch down, if it is another there.
    written : bool
        Whether it is the plan's own, which none of the others is.
    """

    every: float
    close: float | None = None
    written: bool = False

    @property
    def uniform(self) -> bool:
        """Whether one distance holds everywhere."""
        return self.close is None and not self.written

    def name(self, unit: Unit) -> str:
        """Return what it is called in a table."""
        if self.written:
            return "as written"
        return unit.text(self.every) if self.close is None else f"{unit.short(self.close)}/{unit.text(self.every)}"

    def words(self, unit: Unit) -> str:
        """Return what it is called in a sentence that speaks of key strips."""
        if self.written:
            return "as the plan has them"
        if self.close is None:
            return f"every {unit.text(self.every)}"
        return f"every {unit.text(self.close)} where aircraft touch down and every {unit.text(self.every)} elsewhere"

    def changes(self, scenario: Scenario, area: Area, damage: Damage) -> tuple[Change, ...]:
        """Return what makes a scenario have it."""
        if self.written:
            return ()
        here = f"area.{step_name(area.name)}"
        every = Change(f"{here}.key_strips_every", f"{self.every:.10g} ft")
        if self.close is None:
            return (every, Change(f"{here}.key_strip_zones", "[]")) if area.key_strip_zones else (every,)
        zones = self.zones(scenario, area, damage, FEET.length)
        return every, Change(f"{here}.key_strip_zones", zones)

    def zones(self, scenario: Scenario, area: Area, damage: Damage, unit: Unit) -> str:
        """Return its zones as a scenario holds them."""
        assert self.close is not None
        ends = touchdown_zones(damage, make_rows(area, scenario.mat))
        each = (
            f"{{ from = {unit.quoted(low)}, to = {unit.quoted(high)}, every = {unit.quoted(self.close)} }}" for low, high in ends
        )
        return f"[{', '.join(each)}]"


def list_layouts(scenario: Scenario, area: Area, damage: Damage, every: str, zoned: str) -> dict[Layout, Scenario]:
    """Return the layouts that are tried, and the scenario with each: the handbook's always, the plan's own where it is no other.

    Layouts whose key strips lie alike are one: the one that is written first.

    Raises
    ------
    ScenarioError
        If a distance cannot be, or there are too many.
    """
    depth, measures = scenario.mat.row_depth, scenario.measures
    layouts = [*read_spacings(every, depth, measures), *_read_zoned(zoned, depth, measures)]
    if area.key_strip_zones or not _is_handbook(area.key_strips_every, depth):
        layouts.append(Layout(area.key_strips_every, written=True))
    tried: dict[tuple[int, ...], tuple[Layout, Scenario]] = {}
    for layout in layouts:
        changes = layout.changes(scenario, area, damage)
        varied = vary(scenario, changes) if changes else scenario
        laid = next(each for each in varied.area if each.name == area.name)
        tried.setdefault(make_rows(laid, scenario.mat).key_strips, (layout, varied))
    if len(tried) > MOST:
        raise _mistake("--every", f"{len(tried)} layouts are too many", f"at most {MOST} are tried, the handbook's among them")
    return dict(tried.values())


def read_spacings(text: str, depth: float, measures: Measures = FEET) -> list[Layout]:
    """Return the layouts of one distance each, the handbook's among them, in rising order.

    Parameters
    ----------
    text : str
        Distances as a planner writes them, with commas between.
    depth : float
        Feet of a row.
    measures : Measures
        In which mistakes are told.

    Raises
    ------
    ScenarioError
        If one is no length, or less than a row.
    """
    asked = (_whole("--every", part, depth, measures) for part in text.split(","))
    return [Layout(every) for every in sorted({HANDBOOK, *asked})]


def _read_zoned(text: str, depth: float, measures: Measures) -> Iterator[Layout]:
    """Yield the layouts with a distance where aircraft touch down, and one elsewhere."""
    for part in filter(None, (part.strip() for part in text.split(","))):
        close, slash, every = part.partition("/")
        if not slash:
            right = f'write two for each layout, such as "{SUCH_AS["--zoned"][measures.metric]}"'
            raise _mistake("--zoned", f"{shown(part)} names one distance", right)
        yield Layout(_whole("--zoned", every, depth, measures), _whole("--zoned", close, depth, measures))


def _whole(option: str, text: str, depth: float, measures: Measures) -> float:
    """Return a distance in feet as whole rows, or the handbook's."""
    every = _length(option, text, measures)
    rows = round(every / depth)
    if every < depth or rows < 1:
        raise _mistake(option, f"{shown(text.strip())} is less than a row", f"write at least {measures.length.text(depth)}")
    return HANDBOOK if _is_handbook(every, depth) else rows * depth


def _length(option: str, text: str, measures: Measures) -> float:
    try:
        return read_quantity("length", text.strip())
    except PydanticCustomError:
        right = f'write such as "{SUCH_AS[option][measures.metric]}"'
        raise _mistake(option, f"{shown(text.strip())} is no length", right) from None


def laid_otherwise(every: str, zoned: str, depth: float, measures: Measures = FEET) -> tuple[tuple[str, float], ...]:
    """Return each distance that is no whole number of rows, as it was asked for, and the feet at which it is laid.

    Those that nobody asked for are told in the scenario's own unit.
    """
    asked = [("--every", part) for part in every.split(",")]
    asked += [("--zoned", part) for pair in zoned.split(",") if pair.strip() for part in pair.split("/")]
    usual, laid = {"--every": every == EVERY, "--zoned": zoned == ZONED}, {}
    for option, part in asked:
        feet, rows = _length(option, part, measures), _whole(option, part, depth, measures)
        if not _in_rows(feet, depth) and feet != rows:
            laid[measures.length.text(feet) if usual[option] else part.strip()] = rows
    return tuple(laid.items())


def _in_rows(feet: float, depth: float) -> bool:
    """Return whether a distance is whole rows, to a hundredth of a foot, as far as a table shows it."""
    return abs(feet - round(feet / depth) * depth) < _SHOWN


def _is_handbook(every: float, depth: float) -> bool:
    """Return whether a distance is as many rows as the handbook's."""
    return round(every / depth) == round(HANDBOOK / depth)


def _mistake(option: str, wrong: str, right: str) -> ScenarioError:
    return ScenarioError("spacing", [Mistake(option, wrong, right)])
