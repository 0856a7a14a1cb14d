"""Own records: are level and scatter told apart, and do the lines that are pasted give back the rate of the records?"""

import json
import math
import tomllib

import numpy as np
import pytest
from scenarios import strip, written

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import ROW
from simulation.questions.rates.mixed_model import fit_jobs
from simulation.questions.rates.study import fit_rates
from simulation.scenario import ScenarioError, parse_scenario

LAYING = {
    "pick_up": {"p10": "15 s", "p90": "35 s", "scatter": 0.3, "shared_by": "crews"},
    "place": {"p10": "30 s", "p90": "60 s", "scatter": 0.3, "shared_by": "crews"},
    "efficiency": {"low": 0.10, "mode": 0.38, "high": 0.80},
    "skew_found": 0.0,
    "check_every": 200,
}

#: statsmodels 0.15.0, MixedLM(y, 1, groups).fit(reml=True) on the numbers of the test: recomputed.
STATSMODELS = 1.13776, 0.29456, 0.10201


def scenario(rows=300, **laying):
    area = [{"name": "strip", "length": f"{2 * rows} ft", "width": "72 ft"}]
    tables = strip(area=area, laying={**LAYING, **laying}, supply={"on_hand": rows}, weather={"model": "none"})
    return parse_scenario(written(tables))


def log(path, header, lines):
    path.write_text("\n".join([header, *(",".join(map(str, line)) for line in lines)]) + "\n", encoding="utf-8")
    return path


def simulated_minutes(with_lines, runs=30):
    """Return the mean minutes of a row in each of some runs, checks left out."""
    plan, minutes = compile_plan(with_lines), []
    for number in range(runs):
        run = simulate(plan, number)
        rows = [step for step in run.site.trace if step[4] == ROW]
        checks = sum(step[7] in plan.edges[0].checks for step in rows) * 3 / 60 / run.site.levels["laying.efficiency"]
        minutes.append(60 * (sum(step[3] for step in rows) - checks) / plan.areas[0].rows)
        run.dismiss()
    return np.array(minutes)


def pasted(like, result):
    """Return the scenario that a planner has who replaces keys by those of the block."""
    tables = tomllib.loads(like.source.text)
    for table, keys in tomllib.loads(result.pasted.block).items():
        tables.setdefault(table, {}).update(keys)
    tables = {"top": {key: value for key, value in tables.items() if not isinstance(value, dict | list)}, **tables}
    return parse_scenario(written({key: value for key, value in tables.items() if isinstance(value, dict | list)}))


def test_lines_from_one_job_give_back_its_rate_and_its_scatter(tmp_path):
    luck = np.random.default_rng(4)
    minutes = 5.0 * luck.lognormal(-0.5 * math.log1p(0.16), math.sqrt(math.log1p(0.16)), 400)
    like = scenario()
    result = fit_rates([log(tmp_path / "rows.csv", "row,minutes", enumerate(minutes.round(2), 1))], like)
    (row,) = result.rates
    assert 60 * row.fit.level == pytest.approx(minutes.mean(), rel=0.02)
    after = pasted(like, result)
    again, before = simulated_minutes(after), simulated_minutes(like)
    # Job by job the same luck, so the change is exact though the middle of 30 jobs is not.
    assert np.median(again / before) == pytest.approx(minutes.mean() / (60 * row.before[1]), rel=0.03)
    assert np.log(again).std() == pytest.approx(np.log(before).std(), rel=0.1)  # one job does not tell how jobs vary
    assert row.after[1] == pytest.approx(row.fit.level, rel=0.01)
    assert row.scatter_after == pytest.approx(0.4, abs=0.04)
    assert "One job does not tell how jobs vary" in " ".join(result.pasted.notes)


def test_lines_from_several_jobs_give_back_how_they_vary(tmp_path):
    luck = np.random.default_rng(5)
    lines = []
    for job in range(8):
        level = 6.0 * math.exp(0.2 * luck.standard_normal())
        lines += [(f"job {job}", round(float(level * luck.lognormal(-0.03, 0.25)), 3)) for _ in range(40)]
    like = scenario()
    result = fit_rates([log(tmp_path / "rows.csv", "job,minutes_per_row", lines)], like)
    (row,) = result.rates
    assert row.after == pytest.approx((row.fit.next_job(0.1), row.fit.level, row.fit.next_job(0.9)), rel=0.06)
    again = simulated_minutes(pasted(like, result), 60)
    assert np.median(again) == pytest.approx(60 * row.fit.level, rel=0.1)
    assert np.log(again).std() == pytest.approx(row.fit.spread_of_next, rel=0.35)


def test_the_variances_are_those_of_a_mixed_model():
    jobs = [[2.1, 2.6, 2.2], [3.4, 3.1, 3.9, 3.3, 3.6], [2.9, 2.4], [4.4, 5.1, 4.0, 4.6]]
    fit = fit_jobs(jobs, [[1.0] * len(job) for job in jobs], [[False] * len(job) for job in jobs])
    assert math.log(fit.middle) == pytest.approx(STATSMODELS[0], abs=2e-4)
    assert fit.between.value == pytest.approx(STATSMODELS[1], rel=2e-3)
    assert fit.within.value == pytest.approx(STATSMODELS[2], rel=2e-3)
    assert fit.between.low < fit.between.value < fit.between.high


def test_jobs_that_do_not_differ_show_no_variation_between_them():
    luck = np.random.default_rng(3)
    jobs = [np.exp(luck.normal(1.0, 0.3, 30)).tolist() for _ in range(4)]
    fit = fit_jobs(jobs, [[1.0] * 30] * 4, [[False] * 30] * 4)
    assert fit.between.value < 0.08 and fit.between.low == 0.0
    assert fit.within.low < 0.3 < fit.within.high


def test_a_shift_of_many_rows_weighs_as_many(tmp_path):
    like = scenario()
    by_shift = log(tmp_path / "shifts.csv", "date,rows,hours", [("1", 30, 3.0), ("2", 60, 6.6), ("3", 0, 2.0), ("4", 90, 8.1)])
    result = fit_rates([by_shift], like)
    assert result.rates[0].fit.records == 3
    logs, weights = np.log([0.1, 0.11, 0.09]), np.array([30, 60, 90])
    middle = (logs * weights).sum() / weights.sum()
    within = (weights * (logs - middle) ** 2).sum() / 2
    assert result.rates[0].fit.middle == pytest.approx(math.exp(middle))
    assert result.rates[0].fit.within.value == pytest.approx(math.sqrt(within))  # of a row: a shift averages many of them
    assert "1 line without hours left out" in " ".join(result.notes)


def test_hauls_of_several_files_are_a_job_each_and_the_line_goes_with_its_trucks(tmp_path):
    files = [
        log(tmp_path / f"road {name}.csv", "trip,haul_min", enumerate(times))
        for name, times in (("a", (40, 50, 44)), ("b", (70, 61)))
    ]
    result = fit_rates(files, scenario())
    assert list(result.rates[0].measure.jobs) == ["road a", "road b"]
    assert result.pasted.block.startswith("# in the block [[supply.trucks]]")


def test_what_rows_hold_together_is_shown_and_not_pasted_twice(tmp_path):
    file = log(
        tmp_path / "jobs.csv",
        "job,minutes_per_row,seconds_per_mat,eff",
        [("A", 6, 49, 0.39), ("B", 5, 38, 0.65), ("C", 7, 60, 0.4)],
    )
    like = scenario()
    result = fit_rates([file], like)
    assert [rates.measure.key for rates in result.rates] == ["row", "laying.place", "laying.efficiency"]
    assert [key for key, _ in result.pasted.lines].count("laying.efficiency") == 1
    place = fit_rates([file], like, of="laying.place")
    assert [key for key, _ in place.pasted.lines] == ["laying.place"]
    assert place.rates[0].after == pytest.approx(
        (place.rates[0].fit.next_job(0.1), place.rates[0].fit.level, place.rates[0].fit.next_job(0.9)), rel=0.01
    )
    share = fit_rates([file], like, of="laying.efficiency")
    assert share.rates[0].after[1] == pytest.approx(share.rates[0].fit.level, rel=0.05)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("row,minutes\n1,3.1\n2,fast\n", 'line 3, minutes: holds "fast"; write a number above 0, without its unit'),
        ("row,minutes\n1,3.1\n2,-4\n", "line 3, minutes: holds"),
        ("row,minutes\n1,3.1\n2,0\n", "line 3, minutes: holds"),
        ("job,eff\nA,0.4\nB,1.4\n", "line 3, eff: holds"),
        ("job,minutes_per_row\nA,3\n,4\n", "line 3, job: names no job"),
        ("date,rows,hours\n1,many,3\n", "line 2, rows: holds no number of rows"),
        ("date,lengths\n1,3\n", "no column is plainly one of times or shares"),
        ("date,minutes\n1,3\n", "minutes: says no more than its unit"),
        ("minutes_per_row,row_min\n1,3\n", "several columns seem to be row"),
        ("minutes,minutes\n1,3\n", "several columns bear the name"),
        ("row,minutes\n", "holds no records"),
        ("job,minutes_per_row\nA,3+\nA,4\nB,5\n", "records still under way"),
    ],
)
def test_what_cannot_be_read_is_named_by_line_and_column(keystrip, tmp_path, text, said):
    (tmp_path / "rows.csv").write_text(text, encoding="utf-8")
    code, out, err = keystrip("rates", "rows.csv")
    assert (code, out) == (2, "")
    assert said in " ".join(err.split())


def test_a_planner_reads_the_rate_the_comparison_and_the_lines(keystrip, tmp_path):
    (tmp_path / "plan.toml").write_text(scenario().source.text, encoding="utf-8")
    (tmp_path / "rows.csv").write_text("zeit;minuten;job\n1;6,5;A\n2;7,25;A\n1;9,5;B\n2;8,0;B\n", encoding="utf-8")
    words = ("rates", "rows.csv", "--like", "plan.toml", "--columns", "row=minuten:min,job=job", "--out", "own")
    code, out, err = keystrip(*words)
    assert code == 0, err
    assert out.count("\n") <= 45 and max(map(len, out.splitlines())) <= 80
    assert "A row takes" in out.splitlines()[-2] + out.splitlines()[-1]
    record = json.loads((tmp_path / "own" / "rates.json").read_text(encoding="utf-8"))
    assert record["answer"]["rates"][0]["jobs"] == 2
    assert tomllib.loads((tmp_path / "own" / "rates.toml").read_text(encoding="utf-8"))["laying"]["efficiency"]


def test_rows_quicker_than_walking_are_refused_with_what_may_be_wrong(tmp_path):
    with pytest.raises(ScenarioError, match="as quick as walking and locking alone"):
        fit_rates([log(tmp_path / "rows.csv", "row,minutes", [(1, 0.2), (2, 0.25)])], scenario())
