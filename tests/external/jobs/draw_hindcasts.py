"""Draw the hindcasts, the shipped forecast and the handbook on one scale, and print the table that the README shows.

Run it as ``python tests/external/jobs/draw_hindcasts.py``; it writes ``reports/example/hindcasts.png`` and takes a minute.
"""

from pathlib import Path

from simulation import forecast, load_scenario
from simulation.present.pictures.figure import save_figure
from simulation.questions.forecast.drawn.rates import describe_rates, draw_rates
from simulation.questions.forecast.yardsticks.rate_spread import Job, Rate, handbook_rate, spread_of
from simulation.scenario import Change, vary
from simulation.study.run_context import RunContext

ROOT = Path(__file__).parents[3]
HINDCASTS = ROOT / "configs" / "hindcasts"
RUNS = 400

#: (file, name, published days, on-site person-hours that are told, starts)
JOBS = (
    ("week_relaid", "2014, a week", 7.0, 69 * 70, ("centre-out", "one-end")),
    ("six_days", "2009, six days", 6.0, None, ("centre-out", "one-end")),
    ("beach_strip", "1965, on sand, 57 days", 57.0, None, ("one-end",)),
)
WORDS = {"centre-out": "from the centre", "one-end": "from one end"}


def hindcast(file, name, days, person_hours, starts):
    """Return a published job with what the runs of each way of laying it come to, and its lines of the table."""
    spreads, lines = [], []
    for start in starts:
        scenario = load_scenario(HINDCASTS / f"{file}.toml")
        found = forecast(vary(scenario, [Change(f"area.{scenario.area[0].name}.start", start)]), RunContext(runs=RUNS))
        spreads.append(spread_of(found, WORDS[start]))
        lines.append(row(f"{name}, {WORDS[start]}", spreads[-1], f"{days:g}", found))
    feet = found.yardsticks.square_feet
    rate = Rate(feet / days, None if person_hours is None else feet / person_hours)
    return Job(name, tuple(spreads), rate, handbook_rate(found)), lines


def row(name, spread, published, found):
    low, middle, high = spread.days
    fast, _, slow = spread.rates
    return (
        f"| {name} | {published} | {low:.1f} | {middle:.1f} | {high:.1f} | {found.book.workdays:.1f} | "
        f"{slow.per_day:,.0f} to {fast.per_day:,.0f} | {slow.per_person_hour:.0f} to {fast.per_person_hour:.0f} |"
    )


def main():
    jobs, lines = [], []
    for one in JOBS:
        job, rows = hindcast(*one)
        jobs.append(job)
        lines += rows
    shipped = forecast(load_scenario(), RunContext(runs=RUNS))
    spread = spread_of(shipped)
    lines.append(row("the shipped relief strip", spread, "", shipped))
    whole = (*jobs, Job("shipped relief strip", (spread,), None, handbook_rate(shipped)))
    inside = sum(job.inside for job in jobs)
    title = f"The default rates give back {inside} of {len(jobs)} published jobs, to which they were set"
    below = (
        f"jobs written as scenarios with the default rates, {RUNS} runs of each way of laying them; the shipped strip has a "
        f"median of {spread.days[1]:.1f} days, and {shipped.book.workdays:.1f} workdays by the handbook"
    )
    path = ROOT / "reports" / "example" / "hindcasts"
    save_figure(lambda: draw_rates(whole, title, below), path, f"{title}. {describe_rates(whole)}")
    path.with_suffix(".svg").unlink()
    print("| job | days published | P10 | P50 | P90 | workdays by the handbook | sq ft a day | sq ft per person-hour |")
    print("| --- | --- | --- | --- | --- | --- | --- | --- |")
    print("\n".join(lines))


if __name__ == "__main__":
    main()
