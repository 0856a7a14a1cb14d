"""What do own records say of level and scatter, and which lines of a scenario say the same? Records in, fits and lines out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.construction.plan.quantities import uncertain_quantities
from simulation.questions.rates.mixed_model import JobFit, fit_jobs
from simulation.questions.rates.paste import Z90, Pasted, joined, paste_key, paste_row, rows_lead, scenario_with
from simulation.questions.rates.records import ROW, Measure, read_logs
from simulation.questions.rates.row_law import RowLaw
from simulation.scenario.types.mistakes import did_you_mean, refusal

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.types.uncertainty.uncertain import Uncertain


@dataclass(frozen=True)
class KeyRates:
    """What one column says.

    Attributes
    ----------
    measure : Measure
    fit : JobFit
    before, after : tuple of float or None
        P10, P50 and P90 from job to job by the scenario as it is, and with the lines; None where it has no such key.
    scatter_before, scatter_after : float or str or None
        Within a job, the same.
    """

    measure: Measure
    fit: JobFit
    before: tuple[float, float, float] | None
    after: tuple[float, float, float] | None
    scatter_before: float | str | None
    scatter_after: float | str | None


@dataclass(frozen=True)
class RatesResult:
    """What own records say.

    Attributes
    ----------
    files : tuple of str
    scenario : Scenario
        That the records are set beside.
    area, people : str, int
        Of the rows.
    rates : tuple of KeyRates
        Rows first.
    pasted : Pasted
    notes : tuple of str
        How the files were read.
    """

    files: tuple[str, ...]
    scenario: Scenario
    area: str
    people: int
    rates: tuple[KeyRates, ...]
    pasted: Pasted
    notes: tuple[str, ...]


def fit_rates(
    files: Sequence[Path],
    scenario: Scenario,
    of: str | None = None,
    columns: Sequence[tuple[str, str]] = (),
    area: str | None = None,
    people: int | None = None,
) -> RatesResult:
    """Return what records of past jobs say, and the lines that say the same.

    Parameters
    ----------
    files : sequence of Path
    scenario : Scenario
        Whose row-time law the rows are fitted to, and whose variation between jobs one job keeps.
    of, columns
        As in `read_logs`.
    area : str, optional
        Whose rows those of the records are like. Default: the first.
    people : int, optional
        Who laid them. Default: the first crew that works there.

    Raises
    ------
    ScenarioError
        If the records cannot be read or used.
    """
    quantities = uncertain_quantities(scenario)
    measures, notes = read_logs(files, of, columns)
    known = {*quantities, ROW, *(f"supply.trucks.1.{name}" for name in ("load", "haul", "return"))}
    for measure in measures:
        if measure.key not in known:
            raise refusal("--of", f"{measure.key} is no key of records", did_you_mean(measure.key, known))
    measures.sort(key=lambda measure: measure.key != ROW)
    law = _law(scenario, area, people)
    fits = {measure.key: _fit(measure) for measure in measures}
    lead = rows_lead(measures) if of is None else [measure for measure in measures if measure.key == of]
    pasted = joined(
        [
            paste_row(fits[ROW], law) if rate.key == ROW else paste_key(rate, fits[rate.key], quantities.get(rate.key))
            for rate in lead
        ]
    )
    changed = scenario_with(scenario, pasted)
    then, after = uncertain_quantities(changed), RowLaw(changed, law.area, law.people)
    rates = []
    for measure in measures:
        if measure.key == ROW:
            rates.append(KeyRates(measure, fits[ROW], law.quantiles, after.quantiles, law.variation, after.variation))
        else:
            held, made = quantities.get(measure.key), then.get(measure.key)
            scatters = (None if fit is None else fit.scatter for fit in (held, made))
            rates.append(KeyRates(measure, fits[measure.key], _of_level(held), _of_level(made), *scatters))
    return RatesResult(
        tuple(map(str, files)), scenario, scenario.area[law.area].name, law.people, tuple(rates), pasted, tuple(notes)
    )


def _of_level(quantity: Uncertain | None) -> tuple[float, float, float] | None:
    if quantity is None:
        return None
    low, middle, high = (quantity.level.quantile(score) for score in (-Z90, 0.0, Z90))
    return low, middle, high


def _fit(measure: Measure) -> JobFit:
    jobs = measure.jobs.values()
    try:
        return fit_jobs(
            [[value for value, _, _ in job] for job in jobs],
            [[many for _, many, _ in job] for job in jobs],
            [[still for _, _, still in job] for job in jobs],
        )
    except ValueError as error:
        right = "leave out those that are under way, or name one job's file alone"
        raise refusal(measure.name, str(error), right) from None


def _law(scenario: Scenario, area: str | None, people: int | None) -> RowLaw:
    names = [area.name for area in scenario.area]
    if area is not None and area not in names:
        raise refusal("--area", f"there is no area {area}", did_you_mean(area, names))
    name = names[0] if area is None else area
    crew = next((crew for crew in scenario.crew if name in crew.areas), scenario.crew[0])
    least = scenario.laying.overhead + scenario.laying.team_size + 1
    if people is not None and people < least:
        raise refusal("--people", f"{people} cannot lay: overhead, a team and a locker", f"write {least} or more")
    return RowLaw(scenario, names.index(name), people or crew.people)
