"""Every question, asked of the field in which every key differs from its default: each is answered, and the answers agree.

The commands share a folder of runs, as those of a planner do. Few runs each: what they say is checked, not their spread.
"""

import csv
import io
import json
from functools import partial

import numpy as np
import pandas as pd
import pytest
from every_key_scenario import ENDINGS, FOLDER, every_key, put_into
from log_of_run import log_of_run

from simulation import forecast, run_once, take_off
from simulation.construction import compile_plan, simulate
from simulation.construction.trace.chain import PAST
from simulation.present.renderers.page import render_image
from simulation.study.run_context import RunContext

FEW = 4
#: Before the last of these runs, after the first.
DEADLINE = "2031-07-14T12:00"
NIGHT = {19, 20, 21, 22, 23, 0, 1, 2, 3, 4}


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A folder with the scenario and its records, and runs that commands leave for each other."""
    folder = tmp_path_factory.mktemp("every_key")
    put_into(folder)
    return folder


def runs_in(kept, ending="records"):
    """Where a command keeps the runs of a scenario in that folder, unless another is named."""
    return kept / "reports" / ending


@pytest.fixture(scope="module")
def built(kept):
    """The same runs, asked of the library."""
    return forecast(every_key(), RunContext(runs=FEW, workers=1, deadline=DEADLINE, folder=runs_in(kept)))


@pytest.fixture
def ask(keystrip, kept):
    """Return a function that asks a question of the scenario and returns the answer as JSON."""

    def run(command, *words, ending="records"):
        with_runs = {"forecast", "compare", "bottlenecks", "slip", "update", "sensitivity"}
        more = ("--runs", FEW, "--workers", 1, "--deadline", DEADLINE) if command in with_runs else ()
        kept_in = () if command in ("check", "takeoff") else ("--out", runs_in(kept, ending))
        code, out, err = keystrip(command, kept / f"{ending}.toml", *words, *more, *kept_in, "--json")
        assert code == 0, err
        return json.loads(out)

    return run


def ready_of(answer):
    return next(one for one in answer["milestones"] if one["ready"])


def people_on_site(crews, forklifts=2):
    """Crews, operators and drivers in two sets each, two gangs of four that grade, and gangs of rail and of a task."""
    operators, drivers, graders, rail_gang, at_tasks = 2 * 2 * forklifts, 2 * 2, 2 * 4, 5, 5
    return crews + operators + drivers + graders + rail_gang + at_tasks


@pytest.mark.parametrize("ending", ENDINGS)
def test_check_finds_it_sound_and_runs_it_once(ask, ending):
    found = ask("check", ending=ending)["answer"]
    ready = next(one.name for one in every_key(ending).milestones if one.ready)
    assert found["mistakes"] == []
    of_laying_alone = {"milestone", "task", "flying", "supply.shipments"}  # said to mean nothing where the field is taken up
    of_laying_alone |= {"laying.absence", "laying.finish_rows", "crew.night.second_crew", "crew.gull.second_crew"}
    warned = {one["key"] for one in found["scenario_warnings"]} - (of_laying_alone if ending == "taken_up" else set())
    assert warned == {"area.strip.rail", "area.strip.ramp.slope"}
    assert found["drawn_run_ready_days"] == pytest.approx(run_once(every_key(ending)).milestones[ready] / 24)


@pytest.mark.parametrize("ending", ENDINGS)
def test_the_causes_of_a_forecast_sum_to_its_mean(ask, ending):
    found = ask("forecast", ending=ending)["answer"]
    assert found["unfinished"] == 0
    ready = ready_of(found)
    assert sum(one["hours"] for one in found["causes"]) == pytest.approx(24 * ready["mean_days"], abs=1e-6)
    days = {one["name"]: one["p50_days"] for one in found["milestones"]}
    if ending == "taken_up":  # the pad is part of all that comes up, but may be driven off the site after it
        assert days["pad up"] <= days["all up"] == ready["p50_days"]
        assert days["pad up"] < days["pad away"]
    else:
        assert days["half open"] < days["first use"]  # which waits for a shipment that the whole field need not have
        assert days["half open"] < days["whole field"] == ready["p50_days"]


def test_a_forecast_counts_people_pallets_and_chances(ask, built):
    found = ask("forecast")["answer"]
    assert found["people_on_site"]["total"] == people_on_site(40)
    assert found["gate"]["limit"] == 40
    assert found["gate"]["busiest_day_p80"] <= 40
    assert found["deadline"]["chance"]["share"] == (built.runs["milestone.whole field"] <= 24 * 6 + 6.5).mean()


def test_compare_holds_one_more_forklift_against_the_plan_of_the_forecast(ask, built):
    found = ask("compare", "--vary", "forklifts.count=2,3")
    as_written, other = found["answer"]["plans"]
    assert as_written["outcome"]["p50"]["days"] == pytest.approx(built.readiness.quantile(0.5).value / 24)
    assert (as_written["people_on_site"], other["people_on_site"]) == (people_on_site(40), people_on_site(40, forklifts=3))


@pytest.mark.usefixtures("few_of_each_team")
def test_staff_finds_a_team_that_keeps_the_hours_of_the_crews(ask):
    found = ask("staffing", "--deadline", "23 day", "--crews", "3x12", "--most", 200, "--workers", 1)
    (team,) = found["answer"]["teams"]
    assert team["name"] == "3x12"
    assert team["people_on_site"] == people_on_site(3 * 12)
    assert team["on_time"]["share"] == 1.0


def test_bottlenecks_starts_from_the_forecast_and_names_what_it_did_not_try(ask, built):
    found = ask("bottlenecks")["answer"]
    assert found["current_plan"]["p80"]["days"] == pytest.approx(built.readiness.quantile(0.8).value / 24)
    tried = {one["what"] for one in found["changes"]} | {one["what"] for one in found["not_tried"]}
    assert {"one more forklift", "one more truck", "one more grading gang", "day and night under lights"} <= tried
    assert found["chain_of_causes"]["hours"] == pytest.approx(built.runs["milestone.whole field"].mean())


def test_an_update_and_a_forecast_of_begun_work_agree(ask, kept):
    scenario = every_key()
    run = simulate(compile_plan(scenario), 1, until=40.0)
    (kept / "begun.csv").write_text(log_of_run(scenario, run, 40.0), encoding="utf-8")
    log = ("--log", kept / "begun.csv")
    found, forecast_of_it = ask("update", *log)["answer"], ask("forecast", *log)["answer"]
    ready = ready_of(forecast_of_it)
    assert found["now"]["p50"]["days"] == pytest.approx(ready["p50_days"])
    assert found["then"]["p50"]["days"] == pytest.approx(ready_of(ask("forecast")["answer"])["p50_days"])
    assert found["moment_days"] == pytest.approx(40 / 24)
    past = next(one for one in forecast_of_it["causes"] if one["cause"] == PAST)
    assert past["hours"] <= 40.0
    assert sum(one["hours"] for one in forecast_of_it["causes"]) == pytest.approx(24 * ready["mean_days"], abs=1e-6)


def test_slip_of_supply_makes_nothing_earlier(ask):
    found = ask("slip", "--what", "supply", "--by", "12 day")["answer"]
    (late,) = found["delays"]
    assert late["late_by_hours"] == 288
    assert late["p50_change"]["days"] >= 0
    assert not late["no_run_changed"]


def test_sensitivity_knows_every_level_and_the_tornado_moves_some(ask):
    found = ask("sensitivity", "--tornado")["answer"]
    levels = {row["input"] for row in found["inputs"]}
    assert {"laying.place", "laying.efficiency", "laying.absence", "grading.undone", "supply.trucks.1.haul"} <= levels
    assert any(bar["p80_swing"]["days"] > 0 for bar in found["tornado"])


def test_conditions_take_hours_from_every_kind_of_work(ask):
    found = ask("conditions", "--seasons", 3)["answer"]
    assert [one["work"] for one in found["works"]] == [
        "laying", "crew night", "forklifts", "trucks", "loading at the port", "grading",
    ]  # fmt: skip
    laying = found["works"][0]
    assert all(laying["lost_hours"][cause]["mean"] > 0 for cause in ("rain", "heat"))


def test_weather_reads_the_record_as_the_scenario_does(keystrip, kept, monkeypatch):
    monkeypatch.setattr("simulation.questions.weather.study.DRAWN", 0)  # as few as may be
    columns = "time=utc,rain=rain_mm:mm,wind=wind_ms:m/s,gust=gust_ms:m/s,temperature=temp_c:degC,humidity=rh_pct:%"
    words = (
        "--only",
        "station=shoal",
        "--time-offset=5.5 h",
        "--wet=0.3",
        "--by=season",
        "--fill=4 h",
        "--out",
        kept / "weather",
    )
    code, out, err = keystrip("weather", kept / "station.csv", "--columns", columns, *words, "--json")
    assert code == 0, err
    assert "1,248 hours" in " ".join(keystrip("weather", kept / "station.csv", "--columns", columns, *words)[1].split())
    record = every_key().weather.records.record
    assert record.length == 1248
    assert json.loads(out)


def test_the_take_off_counts_the_same_in_table_file_and_picture(ask, kept):
    found = ask("takeoff", "--csv", kept / "order.csv", "--draw", kept / "field.svg")
    quantities = take_off(every_key())
    with (kept / "order.csv").open(encoding="utf-8") as file:
        rows = [one for one in csv.DictReader(file) if one["item"] == "full mat" and one["area"] != "field"]
    assert sum(int(one["needed"]) for one in rows) == quantities.total("full")
    assert json.dumps(found).count("runway") > 0
    assert (kept / "field.svg").read_text()
    ask("takeoff", "--draw", kept / "detail.svg", "--detail", "strip:0-20")
    assert (kept / "detail.svg").read_text()


def test_a_trace_keeps_everybody_to_their_hours_and_ends_with_readiness(keystrip, kept):
    code, out, _ = keystrip("trace", kept / "records.toml", "--run", 1)
    assert code == 0
    steps = pd.read_csv(io.StringIO(out))
    laid = steps[(steps["work"] == "laying rows") & (steps["actor"] == "crew night")]
    assert len(laid)
    assert set(((5.5 + laid["start"]) % 24).astype(int)) <= NIGHT
    done = run_once(every_key(), run_number=1)
    closing = steps[steps["work"] == "final sweep, inspection and marking"]
    assert closing["end"].max() == pytest.approx(done.milestones["whole field"])
    assert np.all(steps["end"] >= steps["start"])


def test_a_replay_is_a_still_or_a_page(keystrip, kept):
    words = ("replay", kept / "records.toml", "--run", 1)
    code, out, _ = keystrip(*words, "--at", "2 d 4 h", "--out", kept / "still.svg")
    assert (code, "Day 3, Thu 10 Jul 2031, 09:30" in out) == (0, True)
    code, out, _ = keystrip(*words, "--every", "6 h", "--out", kept / "replay.html")
    assert code == 0
    page = (kept / "replay.html").read_text(encoding="utf-8")
    assert all(name in page for name in ("runway", "strip", "taxiway", "apron", "pad", "night", "gull"))


def test_a_brief_bears_the_numbers_of_the_forecast_on_the_page_and_on_paper(keystrip, kept, built, monkeypatch):
    from pypdf import PdfReader

    monkeypatch.setattr("simulation.questions.conditions.study.SEASONS", 3)
    monkeypatch.chdir(kept)
    words = ("brief", kept / "records.toml", "--runs", FEW, "--each", 1, "--deadline", DEADLINE, "--workers", 1)
    days = f"{built.readiness.quantile(0.8).value / 24:.1f} days"
    small = partial(render_image, dpi=20)
    monkeypatch.setattr("simulation.present.renderers.paper.render_image", lambda picture, kind, **_: small(picture, kind))
    with monkeypatch.context() as unpainted:
        unpainted.setattr("simulation.present.renderers.page.render_image", lambda *_: b"<svg/>")
        code, _, err = keystrip(*words, "--out", kept / "brief.html")
    assert code == 0, err
    page = (kept / "brief.html").read_text(encoding="utf-8")
    assert days in page
    assert all(
        title in page for title in ("What would help most?", "All plans: days until ready", "Decision sheet", "Every input")
    )
    code, _, err = keystrip(*words, "--no-measures", "--no-compare", "--no-grid", "--out", kept / "brief.pdf")
    assert code == 0, err
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(kept / "brief.pdf").pages).split())
    assert days in text


def test_runs_are_listed_and_done_again_to_the_bit(keystrip, ask, kept):
    ask("forecast")
    code, out, _ = keystrip("studies", runs_in(kept), "--json")
    assert code == 0
    assert any(run["scenario"].startswith("Gannet Shoal") and run["runs"] == FEW for run in json.loads(out)["answer"]["studies"])
    code, out, err = keystrip("repeat", runs_in(kept), "--workers", 1)
    assert code == 0, err
    assert "all the same to the bit" in " ".join(out.split())


def test_files_beside_the_scenario_are_all_that_it_needs(kept):
    assert {file.name for file in FOLDER.iterdir()} >= {"placing.csv", "station.csv", "every_key.toml"}
