"""What `keystrip plan` prints, writes and refuses."""

import json

import pytest
from scenarios import SHORT

FEW = ("--runs", 6, "--workers", 1)


@pytest.fixture
def field(tmp_path):
    (tmp_path / "short.toml").write_text(f"# a short strip\n{SHORT}", encoding="utf-8")
    return "short.toml"


def test_the_best_plan_is_told_kept_and_written_as_a_scenario_that_is_sound(keystrip, field, tmp_path):
    code, out, err = keystrip("plan", field, *FEW, "--choose", "forklifts.count=2,4", "--write", "best.toml")
    assert code == 0, err
    assert "Best plan: crew" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80 and len(out.splitlines()) <= 45
    assert "best plan in best.toml: keystrip check best.toml" in err
    text = (tmp_path / "best.toml").read_text(encoding="utf-8")
    assert text.startswith("# a short strip\n")
    assert keystrip("check", "best.toml")[0] == 0
    kept = json.loads((tmp_path / "reports" / "short" / "plan.json").read_text(encoding="utf-8"))
    assert kept["answer"]["search"]["combinations"] == 3
    code, out, _ = keystrip("plan", field, *FEW, "--choose", "forklifts.count=2,4", "--write", "best.toml", "--json")
    assert code == 0
    assert json.loads(out)["answer"]["best"]["people_on_site"] == kept["answer"]["best"]["people_on_site"]


def test_the_command_that_it_says_gives_the_dates_of_the_best_plan_from_its_file_alone(keystrip, field, tmp_path):
    (tmp_path / "rows.csv").write_text("seconds\n30\n40\n55\n", encoding="utf-8")
    (tmp_path / "elsewhere").mkdir()
    text = (tmp_path / field).read_text(encoding="utf-8")
    rate = 'place = { data = "rows.csv", column = "seconds", unit = "s", scatter = 0.3 }'
    (tmp_path / field).write_text(f"{text}\n[laying]\n{rate}\n", encoding="utf-8")
    best = "elsewhere/best.toml"
    code, out, err = keystrip("plan", field, *FEW, "--seed", 5, "--choose", "forklifts.count=2,4", "--write", best, "--json")
    assert code == 0, err
    (said,) = [line for line in err.splitlines() if "best plan in" in line]
    check, forecast = (part.split()[1:] for part in said.partition(": best plan in ")[2].partition(": ")[2].split("; "))
    assert forecast[:6] == ["forecast", best, "--runs", "6", "--seed", "5"] and "--data" in forecast
    assert keystrip(*check)[0] == 0
    code, alone, err = keystrip(*forecast, "--workers", 1, "--json")
    assert code == 0, err
    days = json.loads(out)["answer"]["objective"]["days"]
    ready = next(each for each in json.loads(alone)["answer"]["milestones"] if each["ready"])
    assert ready["p80"]["days"] == pytest.approx(days, abs=1e-9)


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("--choose", "forklift.count=2"), "--choose: forklift: unknown key"),
        (("--choose", "forklifts.count"), "does not name a key and its values"),
        (("--choose", "forklifts.count=x2"), "write the values themselves"),
        (("--people", 1), "plan: no plan keeps within the limits; the nearest has people: "),
        (("--people", 0), "--people: 0 is too small; write 1 or more"),
        (("--goal", "best"), '--goal: "best" is no goal; write P80 or another quantile from P1 to P99, mean, or chance'),
        (("--goal", "chance"), "--goal: a chance needs a date to be ready by; add --deadline, such as --deadline 9d"),
        (("--milestone", "apron"), '--milestone: there is no "apron"; use one of: '),
    ],
)
def test_what_cannot_be_asked_is_one_line_and_exit_code_2(keystrip, field, words, line):
    code, out, err = keystrip("plan", field, *FEW, *words)
    assert (code, out) == (2, "")
    assert line in err
    assert "Traceback" not in err


def test_what_is_wrong_in_the_scenario_s_own_choices_and_limits_is_said_by_its_key(keystrip, field, tmp_path):
    text = (tmp_path / field).read_text(encoding="utf-8")
    (tmp_path / "bad.toml").write_text(f"{text}\n[choose]\nvalues = ['forklift.count=2']\n", encoding="utf-8")
    code, _, err = keystrip("plan", "bad.toml", *FEW)
    assert (code, "bad.toml: choose.values: forklift: unknown key" in err) == (2, True)
    (tmp_path / "worse.toml").write_text(f"{text}\n[limits]\npeople = 0\n", encoding="utf-8")
    code, _, err = keystrip("plan", "worse.toml", *FEW)
    assert (code, "limits.people" in err) == (2, True)
