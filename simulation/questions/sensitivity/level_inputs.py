"""What is one input of a run's chance, and how would the planner write a value of it?

Each level is an input of its own, but levels that share a name fully move as one and are one: nothing tells their effects apart.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.chance import LevelPlan
    from simulation.construction import Plan
    from simulation.scenario import Change, Scenario

#: Shares at which a level is called low and high: what a planner is asked for, a range with one chance in ten beyond either end.
LOW, HIGH = 0.1, 0.9
#: Units of defaults, and those of a reader who has metric ones.
_METRIC = {"ft": "m", "in": "mm", "ft**2/h": "m**2/h"}
#: A quantity, or a unit alone.
_QUANTITY = re.compile(r"\s*(?:[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)?\s*(.*?)\s*")
#: Scores beyond any that is drawn, which tell whether a level has more than one value.
_FAR = 5.0


#: How the keys begin of what only laying asks for.
_OF_LAYING = (
    *(f"laying.{key}" for key in ("key_strip", "starter_key_strip", "check", "reseat", "damaged_mats", "absence", "move")),
    *(f"grading.{key}" for key in ("rate", "trench", "backfill", "undone")),
    "rail_gang.", "area.", "task.", "used_mats.",
)  # fmt: skip


@dataclass(frozen=True)
class Unit:
    """The unit in which a planner has written a quantity.

    Attributes
    ----------
    name : str
        Empty for a plain number.
    factor : float
        How many of the unit used inside make one.
    """

    name: str
    factor: float

    def text(self, value: float, digits: int) -> str:
        """Return a value, given in the unit used inside, to so many digits as a planner would write it."""
        number = float(f"{value / self.factor:.{digits - 1}e}")
        return f"{number:.{max(digits, 9)}g} {self.name}".rstrip()


@dataclass(frozen=True)
class LevelInput:
    """One level, or several that move as one.

    Attributes
    ----------
    name : str
        The key, or the shared name.
    keys : tuple of str
        Addresses in the scenario.
    plans : tuple of LevelPlan
        How each of them is drawn.
    units : tuple of Unit
        In which each is written.
    scatters : tuple of float or str
        Around each.
    taken_up : bool
        Whether the job is to take up, where a key of trucks says what they do the other way round.
    """

    name: str
    keys: tuple[str, ...]
    plans: tuple[LevelPlan, ...]
    units: tuple[Unit, ...]
    scatters: tuple[float | str, ...]
    taken_up: bool = False

    @property
    def column(self) -> str:
        """The column of the runs that ranks it: of levels that move as one, one without ties if there is one."""
        from simulation.scenario.types.uncertainty.distributions import Records

        continuous = [plan.key for plan in self.plans if not isinstance(plan.level, Records)]
        return f"level.{(continuous or self.keys)[0]}"

    def at(self, share: float) -> tuple[float, ...]:
        """Return the quantile of each level, in the unit used inside."""
        score = NormalDist().inv_cdf(share)
        return tuple(plan.level.quantile(score) for plan in self.plans)

    def label(self, share: float) -> str:
        """Return the quantile of each level in the planner's units, for a person."""
        return ", ".join(unit.text(value, 3) for unit, value in zip(self.units, self.at(share), strict=True))

    def fixed_at(self, values: tuple[float, ...]) -> list[Change]:
        """Return the changes that make known levels of these values of it; every scatter stays."""
        from simulation.scenario import Change

        changes = []
        for key, unit, scatter, value in zip(self.keys, self.units, self.scatters, values, strict=True):
            text = unit.text(value, 12)
            written = f'"{text}"' if unit.name else text
            spread = f'"{scatter}"' if isinstance(scatter, str) else str(scatter)
            changes.append(Change(key, f"{{ mean = {written}, scatter = {spread} }}"))
        return changes


def list_inputs(scenario: Scenario, plan: Plan) -> tuple[LevelInput, ...]:
    """Return the inputs of a scenario in the order of their keys.

    A level that has one value only is none, nor is one of grading where nothing is graded.
    """
    idle = _idle_in_take_up(scenario) if scenario.takes_up else () if scenario.grading.needed else ("grading.",)
    used = [level for level in plan.levels if not level.key.startswith(idle)]
    drawn = [level for level in used if level.level.quantile(-_FAR) < level.level.quantile(_FAR)]
    groups: dict[tuple[str, str], list[LevelPlan]] = {}
    for level in drawn:
        moves_fully = level.shared_by is not None and level.loading == 1.0
        groups.setdefault(("shared", level.shared_by or "") if moves_fully else ("own", level.key), []).append(level)
    return tuple(
        LevelInput(
            name=name if len(levels) > 1 else levels[0].key,
            keys=tuple(level.key for level in levels),
            plans=tuple(levels),
            units=tuple(find_unit(scenario, level.key) for level in levels),
            scatters=tuple(plan.scatters[level.key] for level in levels),
            taken_up=scenario.takes_up,
        )
        for (_, name), levels in groups.items()
    )


def _idle_in_take_up(scenario: Scenario) -> tuple[str, ...]:
    """Return how the keys begin of what a take-up does not ask for."""
    ramps = () if any(area.end_ramps for area in scenario.area) else ("grading.", "take_up.dig_out")
    rail = () if any(area.guide_rail for area in scenario.area) else ("take_up.rail_section", "take_up.seal")
    return (*_OF_LAYING, *ramps, *rail)


def partly_shared(inputs: Sequence[LevelInput]) -> tuple[str, ...]:
    """Return the names of the inputs that move in part with another: each bears part of the other's effect."""
    by_name: dict[str, set[str]] = {}
    for each in inputs:
        for plan in each.plans:
            if plan.shared_by is not None and plan.loading > 0.0:
                by_name.setdefault(plan.shared_by, set()).add(each.name)
    moving = set().union(*(names for names in by_name.values() if len(names) > 1))
    return tuple(each.name for each in inputs if each.name in moving)


def find_unit(scenario: Scenario, key: str) -> Unit:
    """Return the unit in which an uncertain quantity is written in the scenario, or in its default."""
    from simulation.scenario.types.quantities.unit_names import unit_factor

    written, own = _as_written(scenario, key)
    if isinstance(written, dict):
        parts = ("unit",) if "data" in written else ("mean", "low", "p10")
        written = next((written[part] for part in parts if part in written), 1.0)
    if not isinstance(written, str):
        return Unit("", 1.0)
    match = _QUANTITY.fullmatch(written)
    name = match[1] if match else ""
    if not own and scenario.measures.metric:  # a default, which is declared in feet
        name = _METRIC.get(name, name)
    factors = (unit_factor(kind, name) for kind in ("duration", "area rate", "length"))
    return Unit(name, next(factor for factor in factors if factor is not None))


def _as_written(scenario: Scenario, key: str) -> tuple[Any, bool]:
    """Return what stands at a key, or its default as it is declared, and whether it was written."""
    from simulation.scenario.reading.changes import apply, paths_of
    from simulation.scenario.types.mistakes import step_into

    raw: Any = tomllib.loads(scenario.source.text)
    for change in scenario.source.changes:
        apply(raw, change)
    (*steps, last), *_ = paths_of(raw, key)
    written = step_into(raw, *steps, last)
    if written is not None:
        return written, True
    section: Any = scenario
    for step in steps:
        section = section[step] if isinstance(step, int) else getattr(section, step)
    field = type(section).model_fields.get(str(last))
    return None if field is None else field.default, False
