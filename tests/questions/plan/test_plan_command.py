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
