"""`keystrip bottlenecks` and `keystrip slip` as a planner meets them: what is printed where, and with which code they end."""

import json

import pytest
from scenarios import SHORT

from simulation.present.own_files import RECORD

SOUND = SHORT.replace(
    "on_hand = 12",
    """on_hand = 4
[[supply.trucks]]
count = 1
pallets = 4
haul = "1 h"
return = "1 h"
""",
)


@pytest.fixture(autouse=True)
def fields(tmp_path):
    (tmp_path / "short.toml").write_text(SOUND, encoding="utf-8")


FEW = ("--runs", 6, "--workers", 1)


@pytest.mark.usefixtures("painted")
def test_bottlenecks_answers_says_what_is_to_do_and_leaves_a_picture(keystrip, tmp_path):
    code, out, err = keystrip("bottlenecks", "short.toml", *FEW, "--deadline", "1 day")
    assert code == 0
    assert out.startswith("Short strip: what holds it up; 6 runs of each, seed 11")
    assert "hold the job up" in out or "holds the job up" in out
    assert "one more truck" in out
    assert max(map(len, out.splitlines())) <= 80
    assert "to do: 84 runs, a few seconds" in err
    assert "report in reports/short: bottlenecks.json, bottlenecks.txt, bottlenecks.png" in err
    assert {file.name for file in (tmp_path / "reports" / "short").iterdir()} == {
        "runs.sqlite",
        "bottlenecks.json",
        "bottlenecks.txt",
        "bottlenecks.png",
        RECORD,
    }


def test_runs_are_shared_with_the_forecast_and_between_both_commands(keystrip):
    keystrip("forecast", "short.toml", *FEW)
    _, _, err = keystrip("bottlenecks", "short.toml", *FEW)
    assert "6 runs of this study are kept" in err
    assert "to do: 78 runs" in err
    code, first, err = keystrip("bottlenecks", "short.toml", *FEW, "--json")
    assert code == 0
    assert "to do" not in err
    _, second, _ = keystrip("bottlenecks", "short.toml", *FEW, "--json")
    assert [one["p80_change"] for one in json.loads(first)["answer"]["changes"]] == [
        one["p80_change"] for one in json.loads(second)["answer"]["changes"]
    ]
    _, _, err = keystrip("slip", "short.toml", *FEW, "--what", "supply", "--by", "1 day")
    assert "to do: 6 runs" in err


def test_each_change_can_be_repeated_as_a_plan_of_its_own(keystrip):
    _, out, _ = keystrip("bottlenecks", "short.toml", *FEW, "--json")
    truck = next(one for one in json.loads(out)["answer"]["changes"] if one["what"] == "one more truck")
    assert truck["changes"] == ["supply.trucks.1.count=+1"]
    code, out, _ = keystrip("studies", "reports/short", "--json")
    assert code == 0
    assert len(json.loads(out)["answer"]["studies"]) == 14  # as it is, and each change


def test_slip_takes_lists_and_ranges_and_several_things(keystrip, tmp_path):
    words = ("--what", "supply", "--what", "crew.red", "--by", "1 day..2 day", "--deadline", "1 day", "--runs", "20")
    code, out, err = keystrip("slip", "short.toml", *FEW, *words)
    assert code == 0
    assert "Every delivery 2 days late: the 80 % date moves" in " ".join(out.split())
    assert "Crew red 2 days late: the 80 % date moves" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 80
    assert "to do: 100 runs" in err
    assert (tmp_path / "reports" / "short" / "slip_supply_crew-red.png").is_file()
    kept = json.loads((tmp_path / "reports" / "short" / "slip_supply_crew-red.json").read_text(encoding="utf-8"))
    assert kept["answer"]["by"] == "1 day..2 day"


def test_of_few_runs_nothing_is_called_measured_and_it_is_said(keystrip):
    code, out, _ = keystrip("slip", "short.toml", *FEW, "--what", "supply", "--by", "2 day")
    said = " ".join(out.split())
    assert code == 0
    assert "With fewer than 20 runs no change can be measured: raise --runs." in said
    assert "too few runs for an interval" in said and "moves the 80 % date" not in said


def test_json_is_all_that_stands_on_standard_output(keystrip):
    for words in (("bottlenecks", "short.toml"), ("slip", "short.toml", "--by", "1 day")):
        code, out, _ = keystrip(*words, *FEW, "--json")
        assert code == 0
        assert json.loads(out)["answer"]["runs"] == 6


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("bottlenecks", "short.toml", "--deadline", "-1 day"), "deadline: -1 day is not after the start"),
        (("bottlenecks", "short.toml", "--deadline", "soon"), 'deadline: "soon" is neither a duration nor a date'),
        (("bottlenecks", "short.toml", "--runs", "0"), "--runs: 0 is too small; write 1 or more"),
        (("bottlenecks", "none.toml"), "none.toml: there is no such file"),
        (("slip", "short.toml", "--by", "1 kg"), '--by: "1 kg" is no delay'),
        (("slip", "short.toml", "--by", ""), '--by: "" is no delay'),
        (("slip", "short.toml", "--by", "2 day..1 day"), "--by: 2 day..1 day runs backwards"),
        (("slip", "short.toml", "--what", "suply"), '--what: nothing called "suply" can come late; did you mean supply?'),
        (("slip", "short.toml", "--what", "grading"), "--what: no ground is left to grade"),
    ],
)
def test_a_mistake_is_one_line_and_exit_code_2(keystrip, words, line):
    code, out, err = keystrip(*words)
    assert code == 2
    assert out == ""
    (said,) = [one for one in err.splitlines() if "warning" not in one]
    assert line in said


@pytest.mark.parametrize("words", [("bottlenecks", "short.toml"), ("slip", "short.toml", "--by", "1 day,2 day")])
def test_a_stop_prints_what_is_known_and_the_same_command_goes_on(keystrip, monkeypatch, words):
    from simulation.replicate.runs import Runs

    keep = Runs.keep

    def stop(self, batch):
        if self.study == 3:  # the current plan's is 1
            raise KeyboardInterrupt
        keep(self, batch)

    with monkeypatch.context() as patched:
        patched.setattr(Runs, "keep", stop)
        code, out, err = keystrip(*words, *FEW)
    assert code == 3
    assert "Stopped early: 6 of 6 runs of the current plan done, and 1 of" in " ".join(out.split())
    assert "the same command goes on from there" in err
    code, out, err = keystrip(*words, *FEW)
    assert code == 0
    assert "Stopped early" not in out


def test_a_folder_that_cannot_be_written_is_said_and_the_answer_still_stands(keystrip, monkeypatch):
    def full(figure, folder, forms):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("simulation.present.answer.Figure.save", full)
    code, out, err = keystrip("bottlenecks", "short.toml", *FEW)
    assert code == 2
    assert "the job up" in out
    assert "the report cannot be written (No space left on device)" in err
