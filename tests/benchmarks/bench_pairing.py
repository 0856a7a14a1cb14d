"""Does pairing earn its keep? How much narrower is the interval of a difference when both plans meet the same luck?

Run it by hand: ``python tests/benchmarks/bench_pairing.py``. Each other plan of the reference field is built under the same luck
as the plan as written, and once more under luck of its own. Two numbers are compared, the mean and P80 of readiness, each once in
hours of the calendar, which stand still off shift and so come in clumps, and once in hours of the laying clock, which do not:

* ``narrower``: width of the unpaired 95 % interval (Welch's t for the mean, a bootstrap of each plan by itself for P80) over that
  of the paired one (Student's paired t, paired bootstrap);
* ``best``: what is possible at most for the mean, sqrt(s1^2 + s2^2) / abs(s1 - s2), reached where the plans move together
  perfectly; s are the standard deviations of the plans. ``share`` is the part of it that is reached;
* ``spread``: the larger standard deviation over the smaller.

Promised: at least 3 for one more forklift, and a share of at least 0.8 where spreads differ by more than a third. The last lines
say whether that was found.

Where one more forklift stays below 3: what it gains differs from run to build, most of all with the drawn level of
``forklifts.handle``, and no pairing takes that away. With that level certain, pairing makes the interval of the mean 4.6 times
narrower instead of 2.8 (300 runs, laying clock). Where four forklifts are there already, less hangs on a fifth, and pairing
makes its interval 6.3 times narrower for the mean and 3.2 times for P80 (400 runs, calendar).
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

import numpy as np  # noqa: E402
from numpy.typing import NDArray  # noqa: E402
from scipy import stats  # noqa: E402

from simulation.replicate import Alternatives, Workshop  # noqa: E402
from simulation.scenario import Change, Scenario, load_scenario, read_team, vary  # noqa: E402
from simulation.stats.paired_difference import Difference, difference_of_means, difference_of_quantiles  # noqa: E402

FIELD = ROOT / "configs" / "relief_strip.toml"
MORE_FORKLIFTS = "one more forklift"
#: Promised, see above.
NARROWER, SHARE, SPREAD = 3.0, 0.8, 4 / 3
CLOCKS = ("calendar", "laying clock")


@dataclass(frozen=True)
class Gain:
    """How much narrower pairing makes the interval of one plan's change, for one clock."""

    plan: str
    clock: str
    spread: float
    correlation: float
    mean: float
    p80: float
    best: float

    @property
    def share(self) -> float:
        """Of what is possible at most for the mean."""
        return self.mean / self.best


def plans_of(scenario: Scenario) -> dict[str, Scenario]:
    """Return other plans of a field, by name."""
    end = scenario.area[0].name
    return {
        MORE_FORKLIFTS: vary(scenario, [Change("forklifts.count", "+1")]),
        "one forklift fewer": vary(scenario, [Change("forklifts.count", "-1")]),
        "one forklift in all": vary(scenario, [Change("forklifts.count", "1")]),
        "four people fewer a crew": vary(scenario, [Change("crew.*.people", "-4")]),
        "one crew of 40": vary(scenario, [read_team("1x40").instead(scenario)]),
        "from one end": vary(scenario, [Change(f"area.{end}.start", "one-end")]),
        "half the trucks": vary(scenario, [Change("supply.trucks.1.count", "3")]),
        "no rain": vary(scenario, [Change("weather.model", "none")]),
    }


def hours_of(scenarios: Sequence[Scenario], runs: int, seed: int, workers: int | None) -> list[dict[str, NDArray[np.float64]]]:
    """Return readiness of so many runs of each scenario, by clock."""
    with Workshop(workers=workers) as workshop:
        all_of_them = Alternatives(scenarios, workshop, seed)
        all_of_them.reach(runs)
        tables = all_of_them.common(runs)
    found = []
    for scenario, table in zip(scenarios, tables, strict=True):
        ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
        calendar = table[f"milestone.{ready}"].to_numpy()
        if not np.isfinite(calendar).all():
            raise SystemExit(
                f"a run was not ready by the last day simulated of {scenario.horizon:.0f} h: a mean and a spread need all"
            )
        found.append(dict(zip(CLOCKS, (calendar, table["laying hours"].to_numpy()), strict=True)))
    return found


def width(change: Difference) -> float:
    """Return the width of a paired interval."""
    assert change.low is not None and change.high is not None
    return change.high - change.low


def apart_for_mean(first: NDArray[np.float64], second: NDArray[np.float64]) -> float:
    """Return the width of Welch's 95 % interval of the difference of two means, each under luck of its own."""
    interval = stats.ttest_ind(second, first, equal_var=False).confidence_interval(0.95)
    return float(interval.high - interval.low)


def apart_for_p80(first: NDArray[np.float64], second: NDArray[np.float64]) -> float:
    """Return the width of the bootstrap's 95 % interval of the difference of two P80, each plan resampled by itself."""
    found = stats.bootstrap(
        (first, second),
        lambda a, b, axis=-1: _p80(b, axis) - _p80(a, axis),
        vectorized=True,
        method="percentile",
        n_resamples=2000,
        batch=200,
        rng=np.random.default_rng(1),
    ).confidence_interval
    return float(found.high - found.low)


def _p80(values: NDArray[np.float64], axis: int) -> NDArray[np.float64]:
    found: NDArray[np.float64] = np.quantile(values, 0.8, axis=axis, method="inverted_cdf")
    return found


def gain(plan: str, clock: str, first: NDArray[np.float64], same: NDArray[np.float64], own: NDArray[np.float64]) -> Gain:
    """Return what pairing gains for a plan, from runs as written, and of the plan under the same luck and its own."""
    s1, s2 = float(np.std(first, ddof=1)), float(np.std(same, ddof=1))
    a, b = first.tolist(), same.tolist()
    return Gain(
        plan,
        clock,
        max(s1, s2) / min(s1, s2),
        float(np.corrcoef(first, same)[0, 1]),
        apart_for_mean(first, own) / width(difference_of_means(a, b)),
        _ratio(apart_for_p80(first, own), width(difference_of_quantiles(a, b, 0.8))),
        _ratio(math.hypot(s1, s2), abs(s1 - s2)),
    )


def _ratio(wide: float, narrow: float) -> float:
    return wide / narrow if narrow > 0 else math.inf


def measure(runs: int, workers: int | None) -> list[Gain]:
    """Return what pairing gains for each plan, on each clock."""
    scenario = load_scenario(FIELD)
    plans = plans_of(scenario)
    first, *same = hours_of([scenario, *plans.values()], runs, scenario.seed, workers)
    own = hours_of(list(plans.values()), runs, scenario.seed + 1, workers)
    return [
        gain(plan, clock, first[clock], together[clock], apart[clock])
        for clock in CLOCKS
        for plan, together, apart in zip(plans, same, own, strict=True)
    ]


def table(gains: Sequence[Gain]) -> list[str]:
    """Return the lines of the table."""
    head = f"{'plan':26}{'spread':>8}{'correl.':>9}{'mean narrower':>15}{'best':>8}{'share':>8}{'P80 narrower':>14}"
    lines: list[str] = []
    for clock in CLOCKS:
        lines += [f"hours of the {clock}", head]
        for one in gains:
            if one.clock == clock:
                numbers = f"{one.spread:8.2f}{one.correlation:9.3f}{one.mean:15.2f}{one.best:8.2f}{one.share:8.2f}{one.p80:14.2f}"
                lines.append(f"{one.plan:26}{numbers}")
        lines.append("")
    return lines


def verdicts(gains: Sequence[Gain]) -> list[str]:
    """Return what became of the promises."""
    lines = []
    for clock in CLOCKS:
        forklift = next(one for one in gains if one.clock == clock and one.plan == MORE_FORKLIFTS)
        for what, found in (("mean", forklift.mean), ("P80", forklift.p80)):
            kept = "kept" if found >= NARROWER else "not kept"
            lines.append(f"{kept}: {MORE_FORKLIFTS}, {clock}, {what}: {found:.2f} times narrower ({NARROWER:g} promised)")
        wide = [one for one in gains if one.clock == clock and one.spread > SPREAD]
        for one in wide:
            kept = "kept" if one.share >= SHARE else "not kept"
            lines.append(f"{kept}: {one.plan}, {clock}, spread {one.spread:.2f}: share {one.share:.2f} ({SHARE:g} promised)")
        if not wide:
            lines.append(f"no plan's spread differs by more than a third, {clock}")
    return lines


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--runs", type=int, default=400, help="of each plan")
    options.add_argument("--workers", type=int, default=None)
    asked = options.parse_args()
    began = time.perf_counter()
    gains = measure(asked.runs, asked.workers)
    print(f"{FIELD.name}, {asked.runs} runs of each plan, {time.perf_counter() - began:.0f} s")
    print("\n".join(["", *table(gains), *verdicts(gains)]))


if __name__ == "__main__":
    main()
