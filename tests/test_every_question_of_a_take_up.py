"""Every question about a construction, asked of a take-up: answered in its words and shapes, or refused in a plain sentence."""

import json
import re

import pytest
from jsonschema import Draft202012Validator
from questions_asked import asked
from scenarios import SHORT, SHORT_LOG, parse_scenario

from simulation.questions.check.record_schema import record_schema
from simulation.questions.forecast.drawn.figures import forecast_pictures
from simulation.questions.forecast.study import forecast as make_forecast
from simulation.study.run_context import RunContext

VALIDATOR = Draft202012Validator(record_schema())
TRUCKS = '[[supply.trucks]]\ncount = 1\npallets = 4\nload = "20 min"\nhaul = "30 min"\nreturn = "20 min"\n'
SHIP = '[[take_up.shipments]]\npallets = 4\ncomes = { p10 = "8 h", p90 = "30 h" }\nchance = 0.8\nagain = "12 h"\n'
ANSWERED = ("forecast", "bottlenecks", "compare", "slip", "sensitivity", "staffing", "takeoff", "lift", "conditions")
#: What is said of laying alone.
OF_LAYING = re.compile(r"\b(laid|lays|ready at|laying rows|laying crews|mats to order|spare mats|operational readiness)\b")


@pytest.fixture
def ask(keystrip, tmp_path, few_of_each_team, monkeypatch):
    monkeypatch.setattr("simulation.questions.conditions.study.SEASONS", 3)
    (tmp_path / "up.toml").write_text(f'job = "take up"\n{SHORT}{TRUCKS}{SHIP}', encoding="utf-8")
    (tmp_path / "log.csv").write_text(SHORT_LOG, encoding="utf-8")

    def run(question, *more):
        if question in ("trace", "replay", "log"):
            return keystrip(question, *(("new",) if question == "log" else ()), "up.toml", *more)
        own = ("--deadline", "20 day", "--crews", "1x16", "--most", 200)
        return keystrip(*asked(question, about="up.toml", staffing=own), *more)

    return run


@pytest.mark.parametrize("question", ANSWERED)
def test_it_is_answered_in_the_words_of_taking_up_and_the_record_keeps_to_the_schema(ask, question):
    code, out, err = ask(question, "--json")
    assert code == 0, err
    record = json.loads(out)
    assert [f"{error.json_path}: {error.message}" for error in VALIDATOR.iter_errors(record)] == []
    said = " ".join([record["answer"].get("headline", ""), *record["answer"].get("sentences", [])])
    assert not OF_LAYING.findall(said), said
    told = any(caution.startswith("Winching under load") for caution in record["answer"]["cautions"])
    assert told == (question != "conditions")  # which is about the sky alone


def test_a_forecast_names_the_causes_and_milestones_of_taking_up_and_what_comes_back(ask):
    code, out, err = ask("forecast", "--full")
    assert code == 0, err
    text = " ".join(out.split())
    for told in ("The last load out: days from the start", "the last row up", "What comes back", "waiting for a shipment",
                 "field taken up, 2011", "Winching under load", "four runs in five are done by then"):  # fmt: skip
        assert told in text
    assert not OF_LAYING.findall(text)
    assert "handbook" not in text and "to order" not in text


def test_pictures_of_a_forecast_speak_of_no_laying_crew_and_no_readiness(monkeypatch):
    forecast = make_forecast(parse_scenario(f'job = "take up"\n{SHORT}{TRUCKS}'), RunContext(runs=3, workers=1))
    notes = []
    for picture in ("causes", "losses"):
        monkeypatch.setattr(f"simulation.questions.forecast.drawn.{picture}.draw_words", lambda *words: notes.append(words[-1]))
    for picture in forecast_pictures(forecast):
        if picture.name in ("causes", "losses"):
            picture.draw()
    assert len(notes) == 2
    assert not [word for word in ("laying", "final sweep", "readiness") if word in " ".join(notes)], notes


@pytest.mark.parametrize("question", ["compare", "staffing"])
def test_plans_and_teams_are_done_and_none_is_ready(ask, question):
    code, out, err = ask(question, "--deadline", "20 day", "--full") if question == "compare" else ask(question, "--full")
    assert code == 0, err
    text = " ".join(out.split())
    assert "8 runs of 10 are done by then" in text
    assert "ready" not in text.lower()


def test_a_replay_and_a_trace_tell_it_too(ask, tmp_path):
    code, out, err = ask("replay", "--run", 0, "--at", "3 h", "--out", "still.png")
    assert code == 0, err
    assert "the last load out" in out
    code, out, err = ask("trace", "--out", "steps.csv")
    assert code == 0, err
    assert "crew red, handlers" in (tmp_path / "steps.csv").read_text(encoding="utf-8")


def test_a_brief_says_what_comes_back_in_the_place_of_what_to_order(ask, tmp_path, monkeypatch):
    monkeypatch.setattr("simulation.present.renderers.page.render_image", lambda *_: b"<svg/>")
    code, _, err = ask("brief")
    assert code == 0, err
    page = (tmp_path / "reports" / "up" / "brief.html").read_text(encoding="utf-8")
    assert "What comes back on average" in page and "Banding under tension" in page
    assert "to order, with spares" not in page and "What comes back?" in page and "What to order?" not in page
    text = " ".join(page.split())
    assert "crews open the field at key strips and lift it row by row" in text and "crews lay row by row" not in text
    assert "given with the crews" in text and "Hours that the crews lost by their calendar" in text
    assert "Every plan of the sheet, days until done" in page and '"starts":[["",""]]' in page.replace(" ", "").replace(
        "&#34;", '"'
    )
    assert '<p hidden><label for="sheet-start">' in page
    assert "in the crews, from" not in page
    assert ">20 in the crews</th>" in page


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("opening", "no length of it becomes usable"),
        ("update", "it tells of laying, and the job is to take up"),
        ("log", "a log is kept of laying"),
    ],
)
def test_what_cannot_be_asked_of_a_take_up_is_refused_in_a_plain_sentence(ask, question, line):
    code, _, err = ask(
        question,
    )
    assert code == 2
    assert line in " ".join(err.split())


def test_what_takes_the_time_of_a_team_that_is_too_late_is_told_in_the_words_of_taking_up(ask):
    code, out, err = ask("staffing", "--deadline", "1 h", "--full")
    assert code == 0, err
    text = " ".join(out.split())
    assert "hours until it is done; " in text or "hours until it is done." in text
    assert "Use until it is done, as shares of the workable hours" in text
    assert "readiness" not in text


@pytest.mark.parametrize("question", ["slip", "sensitivity"])
def test_what_no_run_reaches_by_the_last_day_is_not_done_and_none_is_ready(ask, tmp_path, question):
    text = (tmp_path / "up.toml").read_text(encoding="utf-8").replace('horizon = "20 day"', 'horizon = "9 h"')
    (tmp_path / "up.toml").write_text(text, encoding="utf-8")
    code, out, err = ask(question, "--deadline", "1 day", "--full")
    assert code == 0, err
    text = " ".join(out.split())
    assert "not done by the last day simulated" in text
    assert not re.search(r"\bready\b", text)
