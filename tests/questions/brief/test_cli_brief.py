"""`keystrip brief` from the outside: one file, in the form that its name says, and one line for what cannot be."""

import json
import re

import pytest
from scenarios import SHORT

ALONE = ("--no-measures", "--no-compare", "--no-grid", "--workers", 1)


@pytest.fixture(autouse=True)
def short(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")


@pytest.fixture
def without_pictures(monkeypatch):
    """Leave out what takes long, where nobody looks at it: pictures, and all but a few drawn seasons."""
    monkeypatch.setattr("simulation.present.renderers.page.render_image", lambda *_: b"<svg/>")
    monkeypatch.setattr("simulation.questions.conditions.study.SEASONS", 5)


@pytest.mark.slow
def test_the_whole_brief_says_how_much_there_is_to_do_before_it_begins(keystrip, tmp_path):
    words = ("brief", "short.toml", "--runs", 30, "--each", 5, "--deadline", "28 h", "--workers", 1)
    code, out, err = keystrip(*words)
    assert code == 0
    assert re.search(r"to do for \d+ plans: (about )?[\d,]+ runs, ", err)
    assert "brief in reports/short/brief.html" in err
    assert out.startswith("Short strip\nOnly 30 runs")
    assert "Four runs in five reach" in out
    page = (tmp_path / "reports" / "short" / "brief.html").read_text(encoding="utf-8")
    for title in ("What would help most?", "All plans: days until ready", "Decision sheet", "Every input"):
        assert title in page
    for picture in ("The field to scale", "One drawn season"):
        assert f"<figcaption>{picture}</figcaption>" in page or f"<h3>{picture}</h3>" in page
    code, _, err = keystrip(*words, *ALONE[:3], "--out", "brief.pdf")
    assert code == 0
    assert "to do" not in err  # the runs are kept
    assert (tmp_path / "brief.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.usefixtures("without_pictures", "unpainted")
def test_the_numbers_are_those_of_the_forecast_which_shares_its_runs(keystrip):
    keystrip("brief", "short.toml", "--runs", 25, *ALONE)
    code, out, err = keystrip("forecast", "short.toml", "--runs", 25, "--workers", 1, "--json")
    assert code == 0
    assert "25 runs of this study are kept" in err
    (ready,) = json.loads(out)["answer"]["milestones"]
    page = keystrip("brief", "short.toml", "--runs", 25, *ALONE)[1]
    assert f"{ready['p80_days']:.1f} days after the start" in " ".join(page.split())
    assert ready["p80_date"].partition(" (")[0] in " ".join(page.split())  # the hours of the shifts stand below the table


@pytest.mark.usefixtures("without_pictures", "unpainted")
def test_its_record_holds_those_of_the_questions_that_it_answers(keystrip, tmp_path):
    words = ("--runs", 25, "--each", 5, "--workers", 1, "--deadline", "28 h", "--json")
    code, out, _ = keystrip("brief", "short.toml", *words, "--no-compare", "--no-grid")
    assert code == 0
    record = json.loads(out)
    assert (record["schema"], record["question"], record["scenario"]) == (1, "brief", "Short strip")
    assert record["study"]["runs"] == 25
    answer = record["answer"]
    assert answer["headline"].startswith("Four runs in five reach")
    assert answer["compare"] is None and answer["decision_sheet"] is None and answer["not_reached"] == []
    assert answer["takeoff"] and answer["conditions"]
    forecast = json.loads(keystrip("forecast", "short.toml", *words[:2], *words[4:])[1])
    assert answer["forecast"]["milestones"] == forecast.get("answer", forecast)["milestones"]
    assert len(answer["bottlenecks"]["changes"]) > 3
    assert (tmp_path / "reports" / "short" / "brief.html").exists()


@pytest.mark.usefixtures("without_pictures", "unpainted")
def test_a_kept_run_is_briefed_from_its_folder(keystrip, tmp_path):
    keystrip("forecast", "short.toml", "--runs", 24, "--seed", 5, "--workers", 1, "--out", "kept")
    (tmp_path / "short.toml").unlink()
    for run in ("kept", "kept/1"):
        code, _, err = keystrip("brief", run, *ALONE)
        assert code == 0
        assert "to do" not in err
    page = (tmp_path / "kept" / "brief.html").read_text(encoding="utf-8")
    assert "24 simulated runs, seed 5" in page
    assert "keystrip repeat kept/1" in page
    assert keystrip("repeat", "kept/1", "--workers", 1)[0] == 0


@pytest.mark.usefixtures("without_pictures")
def test_plans_are_compared_that_are_asked_for(keystrip, tmp_path):
    code, _, _ = keystrip(
        "brief", "short.toml", "--runs", 20, "--each", 20, "--no-measures", "--no-grid", "--workers", 1,
        "--compare", "forklifts.count=2,5", "--out", "mine.html",
    )  # fmt: skip
    assert code == 0
    page = (tmp_path / "mine.html").read_text(encoding="utf-8")
    assert "2 forklifts.count=2" in page
    assert "3 forklifts.count=5" in page
    assert "sheet-data" not in page


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["short.toml", "--out", "brief.doc"], "--out: brief.doc is no form of a brief; end it in .html or .pdf"),
        (["short.toml", "--out", "short.toml/brief.html"], "--out: short.toml/brief.html cannot be written"),
        (["short.toml", "--deadline", "soon"], "deadline"),
        (["short.toml", "--compare", "forklift.count=2"], "--compare: "),
        (["short.toml", "--compare", "2y20"], "--compare: "),
        (["short.toml", "--compare", "forklifts.count=2", "--no-compare"], "--compare: "),
        (["short.toml", "--each", "0"], "--each"),
        (["nowhere.toml"], "nowhere.toml"),
        (["nowhere/3"], "nowhere/3"),
        (["."], ".: there is no study"),
    ],
)
def test_what_cannot_be_is_one_line_before_any_run(keystrip, tmp_path, words, said):
    code, out, err = keystrip("brief", *words)
    assert code == 2
    assert out == ""
    assert said in err
    assert len(err.strip().splitlines()) == 1
    assert not list(tmp_path.rglob("brief.*"))


@pytest.mark.usefixtures("without_pictures")
def test_a_target_that_becomes_full_keeps_the_runs(keystrip, tmp_path, monkeypatch):
    from simulation.present import own_files

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(own_files, "write_whole", full)
    code, _, err = keystrip("brief", "short.toml", "--runs", 20, *ALONE)
    assert code == 2
    assert "cannot be written (No space left on device)" in err
    assert err.rstrip().endswith("; 20 runs are kept in reports/short: run the same again then")
    assert "Traceback" not in err
    assert (tmp_path / "reports" / "short" / "runs.sqlite").exists()


@pytest.mark.usefixtures("without_pictures")
def test_a_store_that_takes_no_more_says_which_runs_it_keeps(keystrip, monkeypatch):
    from simulation.replicate.store import Store, StoreFull

    def full(*_):
        raise StoreFull("runs.sqlite: the disk is full; make room and run again")

    assert keystrip("brief", "short.toml", "--runs", 20, *ALONE)[0] == 0
    monkeypatch.setattr(Store, "study_of", full)
    code, out, err = keystrip("brief", "short.toml", "--runs", 20, *ALONE)
    assert (code, out) == (2, "")
    assert err.rstrip().endswith("run again; 20 runs are kept in reports/short: run the same again then")
