"""Which lines of a scenario say what the records say? Levels as ranges for the next job, scatter as what varies within one."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from simulation.questions.rates.records import ROW, Measure
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import refusal
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert

if TYPE_CHECKING:
    from simulation.questions.rates.mixed_model import JobFit
    from simulation.questions.rates.row_law import RowLaw
    from simulation.scenario import Scenario
    from simulation.scenario.types.uncertainty.uncertain import Uncertain

#: Score of a P90.
Z90 = 1.2815515655446004
#: The scatter that a scenario may write, from and to.
_LEAST, _MOST = 0.001, 3.0
#: The least share of a row's time that placing and picking up must be for the records to say how long they take.
_ROOM = 0.4
#: The productive share of an hour that the best of jobs can have.
_HIGHEST = 0.97


@dataclass(frozen=True)
class Pasted:
    """Lines for a scenario.

    Attributes
    ----------
    lines : tuple of (str, str)
        The address of each key, and its value as it is written.
    notes : tuple of str
        What was taken for granted.
    """

    lines: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]

    @property
    def changes(self) -> tuple[Change, ...]:
        """The lines as changes of a scenario."""
        return tuple(Change(key, value) for key, value in self.lines)

    @property
    def block(self) -> str:
        """The lines as TOML, by table; those of a block of several stand as comments, since only the planner knows which."""
        tables: dict[str, list[str]] = {}
        for key, value in self.lines:
            table, _, name = key.rpartition(".")
            tables.setdefault(table, []).append(f"{name} = {value}")
        written = []
        for table, lines in tables.items():
            if table.startswith("supply.trucks"):
                written.append(
                    "\n".join(["# in the block [[supply.trucks]] whose trucks these are:", *(f"# {line}" for line in lines)])
                )
            else:
                written.append("\n".join([f"[{table}]", *lines]))
        return "\n\n".join(written) + "\n"


def paste_row(fit: JobFit, law: RowLaw) -> Pasted:
    """Return the lines by which the row-time law gives the rows of the records.

    Notes
    -----
    The time of a row does not tell placing from pauses, so the efficiency takes up what the records say. Of one job what varies
    between jobs stays the scenario's; of several it is put into the efficiency, and picking up and placing are held at their
    middle. Where the efficiency would have to rise above 1, picking up and placing are made quicker.

    Raises
    ------
    ScenarioError
        If the rows are quicker than walking and locking alone.
    """
    laying, single = law.scenario.laying, fit.jobs == 1
    notes = [
        "One job does not tell how jobs vary: the scenario's own variation between jobs stays, around the new middle."
        if single
        else "Rows do not tell placing from pauses: what varies between jobs is put into the efficiency alone."
    ]
    scatter, times = None, 1.0
    for _ in range(3):  # how much a row scatters depends on what else is in its time
        if fit.variation is not None:
            scatter = _between(partial(law.scattered, factor=times), fit.variation, _LEAST, _MOST)
        usual = law.carried(1.0, scatter, single)
        if single:
            factor = min(usual / fit.level, _HIGHEST / laying.efficiency.level.bounds[2])
            times = _times(partial(law.carried, scatter=scatter, single=True), fit.level * factor)
        else:
            middle = law.middle["laying.efficiency"]
            factor = min(1.0, _HIGHEST / (middle * usual / fit.next_job(0.1)))
            times = _times(partial(law.carried, scatter=scatter), usual * factor)
    if scatter is None or fit.variation is None:
        notes.append("Each job has one record of rows, so the scatter from row to row stays the scenario's.")
    elif law.scattered(scatter, times) < 0.98 * fit.variation:
        notes.append("Rows scatter more within a job than picking up and placing can: their scatter is as wide as it may be.")
    elif law.scattered(scatter, times) > 1.05 * fit.variation:
        notes.append("Other times than picking up and placing make rows scatter more than the records do.")
    if single:
        efficiency = _inline(_scaled(laying.efficiency, factor), "share")
    else:
        share = Measure("", "", share=True)
        low, half, high = (middle * usual * factor / hours for hours in (fit.next_job(0.9), fit.level, fit.next_job(0.1)))
        efficiency = _table(_range((low, high), half, share))
    lines = [("laying.efficiency", efficiency)]
    if times != 1.0:
        notes.append("The rows are quicker than the efficiency allows: picking up and placing are made quicker as well.")
    raw = tomllib.loads(law.scenario.source.text).get("laying", {})
    for name in ("pick_up", "place"):
        quantity = getattr(laying, name)
        if fit.jobs > 1:
            kept = quantity.scatter if scatter is None else round(scatter, 3)
            known = {"mean": _time(law.middle[f"laying.{name}"] * times)}
            lines.append((f"laying.{name}", _table({**known, **({"scatter": kept} if kept else {})})))
        elif scatter is not None or times != 1.0:
            lines.append((f"laying.{name}", _again(quantity, raw.get(name), scatter, times)))
    return Pasted(tuple(lines), tuple(notes))


def _times(hours: Callable[[float], float], target: float) -> float:
    """Return by what picking up and placing must be multiplied for rows to take so many hours; 1 where they do."""
    if abs(hours(1.0) / target - 1.0) < 1e-9:
        return 1.0
    if hours(1e-3) > (1.0 - _ROOM) * target:
        wrong = "the rows of the records are about as quick as walking and locking alone allow by the scenario"
        right = "state the width and the people of that job (--area, --people), or correct laying.walk or laying.lock"
        raise refusal("", wrong, right, "row")
    return _between(hours, target, 1e-3, 1e3)


def paste_key(measure: Measure, fit: JobFit, held: Uncertain | None) -> Pasted:
    """Return the line of one key; `held` is what the scenario says of it, None where it has no such key."""
    notes = []
    scatter = fit.variation
    if scatter is None or measure.share:
        scatter = None
    kept: float | str = held.scatter if held is not None else 0.0
    if scatter is None and not measure.share and fit.jobs > 1:
        notes.append(f"{measure.key}: each job has one record, so the scatter within a job stays the scenario's.")
    rest = {} if measure.share else _rest(kept if scatter is None else round(min(max(scatter, _LEAST), _MOST), 3), held)
    if fit.jobs == 1:
        notes.append(f"{measure.key}: one job does not tell how jobs vary; the scenario's own variation between jobs stays.")
        if held is None or isinstance(held.level, Constant):
            level: dict[str, Any] = {"mean": _written(fit.level, measure)}
        else:
            low, middle, high = (held.level.quantile(score) for score in (-Z90, 0.0, Z90))
            ends = fit.level * low / middle, fit.level * high / middle
            level = _range(ends, fit.level, measure)
    else:
        level = _range((fit.next_job(0.1), fit.next_job(0.9)), fit.level, measure)
    return Pasted(((measure.key, _table({**level, **rest})),), tuple(notes))


def _range(ends: tuple[float, float], middle: float, measure: Measure) -> dict[str, Any]:
    """Return a level by its P10 and P90: a share by the low, mode and high that have them."""
    if not measure.share:
        return {"p10": _written(ends[0], measure), "p90": _written(ends[1], measure)}
    from scipy.optimize import least_squares
    from scipy.special import betaincinv, ndtr

    goal = [min(end, top) for end, top in zip((ends[0], middle, ends[1]), (0.9, 0.95, _HIGHEST), strict=True)]
    chances = ndtr((-Z90, 0.0, Z90))
    heavy = np.array([1.0, 3.0, 1.0])  # three numbers of one curve: the middle counts most

    def level(at: Any) -> Pert:
        low, mode, high = np.minimum(np.cumsum(at), 1.0).tolist()
        return Pert(low, mode, max(high, mode + 1e-6))

    def off(at: Any) -> Any:
        tried = level(at)  # at three chances, not as a table of a thousand
        return heavy * (tried.low + (tried.high - tried.low) * betaincinv(*tried.shapes, chances) - goal)

    low, half, high = goal
    guess = np.maximum([2 * low - half, 2 * (half - low), 2 * (high - half)], 2e-3)
    fitted = level(least_squares(off, guess, bounds=(1e-3, 1.0)).x)
    return {name: round(getattr(fitted, name), 4) for name in ("low", "mode", "high")}


def _rest(scatter: float | str, held: Uncertain | None) -> dict[str, Any]:
    """Return what stands beside the level: its scatter, and with what it moves."""
    rest: dict[str, Any] = {"scatter": scatter} if scatter else {}
    if held is not None and held.shared_by is not None:
        whole = held.correlation == 1.0
        rest["shared_by"] = held.shared_by if whole else {"name": held.shared_by, "correlation": held.correlation}
    return rest


def _again(quantity: Uncertain, raw: Any, scatter: float | None, times: float) -> str:
    """Return a quantity as the scenario has it, with another scatter, and times multiplied."""
    level = quantity.level
    table = dict(raw) if isinstance(raw, dict) else {}
    if times != 1.0 or not table:
        if "data" in table:  # a file cannot be multiplied, so its middle and its width are
            width = (level.quantile(Z90) / level.quantile(-Z90)) ** 0.5
            level = Lognormal(level.quantile(0.0) / width, level.quantile(0.0) * width)
        table = {**level.scaled(times).written(_time), **_rest(quantity.scatter, quantity)}
    if scatter is not None:
        table["scatter"] = round(scatter, 3)
    return _table(table)


def _scaled(quantity: Uncertain, factor: float) -> dict[str, Any]:
    level = quantity.level
    if not isinstance(level, Constant | Pert):  # records of one column do not say what is multiplied
        low, middle, high = (level.quantile(score) * factor for score in (-2.0, 0.0, 2.0))
        return {"low": round(low, 4), "mode": round(middle, 4), "high": round(min(high, 1.0), 4)}
    return level.scaled(factor).written(lambda value: float(f"{value:.4g}"))


def _inline(level: dict[str, Any], kind: str) -> str:
    return str(level["mean"]) if kind == "share" and set(level) == {"mean"} else _table(level)


def _between(rises: Callable[[float], float], target: float, low: float, high: float) -> float:
    """Return where a function that rises reaches a target, or the nearer end."""
    for _ in range(50):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if rises(middle) < target else (low, middle)
    reached: float = (low * high) ** 0.5
    return reached


def _written(value: float, measure: Measure) -> Any:
    return float(f"{value:.4g}") if measure.share else _time(value)


def _time(hours: float) -> str:
    """Return a time as a scenario has it, in the unit that suits it."""
    for name, each, most in (("s", 3600.0, 3 / 60), ("min", 60.0, 3.0)):
        if hours < most:
            return f"{hours * each:.4g} {name}"
    return f"{hours:.4g} h"


def _table(table: dict[str, Any]) -> str:
    return "{ " + ", ".join(f"{key} = {_toml(value)}" for key, value in table.items()) + " }"


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return _table(value)
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"' if isinstance(value, str) else f"{value}"


def joined(pasted: Sequence[Pasted]) -> Pasted:
    """Return the lines of several, each key once."""
    lines: dict[str, str] = {}
    for part in pasted:
        lines = {**dict(part.lines), **lines}
    return Pasted(tuple(lines.items()), tuple(note for part in pasted for note in part.notes))


def rows_lead(measures: Sequence[Measure]) -> list[Measure]:
    """Return the measures that lines are made of: rows stand for placing, picking up and the efficiency together."""
    if not any(measure.key == ROW for measure in measures):
        return list(measures)
    return [measure for measure in measures if measure.key not in ("laying.place", "laying.pick_up", "laying.efficiency")]


def scenario_with(scenario: Scenario, pasted: Pasted) -> Scenario:
    """Return a scenario with the lines pasted in; those of trucks that it does not have are left out."""
    from simulation.scenario.reading.reading import vary

    trucks = bool(scenario.supply.trucks)
    changes = [change for change in pasted.changes if trucks or not change.address.startswith("supply.trucks")]
    return vary(scenario, changes)
