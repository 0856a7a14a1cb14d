"""Does no command replace what somebody else keeps under a name of its files, and is that said before the first run?"""

import pytest
from questions_asked import asked, declaring, put_all_into
from scenarios import SHORT

from simulation.present.own_files import RECORD
from simulation.replicate.store import FILE

COMMANDS = {name: asked(name) for name in declaring("as_json", "full", "out")} | {
    "forecast with pictures": (*asked("forecast"), "--pictures"),
    "compare several": asked("compare", compare=("long.toml",)),
    "slip of something": asked("slip", slip=("--what", "forklift", "--what", "crew.red", "--by", "1 day")),
    "sensitivity of all": ("sensitivity", "short.toml", "--runs", 40, "--workers", 1),
}
pytestmark = pytest.mark.usefixtures("scenarios")


@pytest.fixture
def scenarios(tmp_path):
    put_all_into(tmp_path)
    (tmp_path / "long.toml").write_text(
        SHORT.replace('"40 ft"', '"60 ft"').replace("on_hand = 12", "on_hand = 20"), encoding="utf-8"
    )


def files_in(folder):
    return {file.name: file.read_bytes() for file in folder.iterdir()}


LONG = {"forecast with pictures", "compare several", "sensitivity"}
EACH = [pytest.param(words, id=name, marks=[pytest.mark.slow] if name in LONG else []) for name, words in COMMANDS.items()]


@pytest.mark.parametrize("words", EACH)
def test_each_file_that_a_command_leaves_is_asked_about_before_the_first_run(keystrip, tmp_path, monkeypatch, words):
    out = tmp_path / "out"
    assert keystrip(*words, "--out", out)[0] == 0
    assert keystrip(*words, "--out", out)[0] == 0  # its own it may replace
    left = files_in(out).keys() - {FILE, RECORD}
    assert {name.rpartition(".")[2] for name in left} >= {"json", "txt"}
    with monkeypatch.context() as idle:
        idle.setattr("simulation.replicate.batches.do_batch", None)
        for number, name in enumerate(sorted(left)):
            own = tmp_path / f"own {number}"
            own.mkdir()
            (own / name).write_text("somebody's own", encoding="utf-8")
            code, answer, said = keystrip(*words, "--out", own)
            lines = [line for line in said.splitlines() if ": warning: " not in line]
            assert (code, answer, len(lines)) == (2, "", 1), said
            assert f"{own / name} stands in no record" in lines[0] and lines[0].endswith("or add --force")
            assert files_in(own) == {name: b"somebody's own"}
    (out / name).write_text("changed", encoding="utf-8")
    code, _, said = keystrip(*words, "--out", out)
    assert (code, f"{name} was changed since keystrip wrote it" in said) == (2, True)
    assert keystrip(*words, "--out", out, "--force")[0] == 0
    assert (out / name).read_text(encoding="utf-8") != "changed"


def test_what_appears_while_runs_are_done_is_left_and_the_runs_are_kept(keystrip, tmp_path, monkeypatch):
    from simulation.replicate import batches

    do = batches.do_batch

    def meanwhile(*given):
        (tmp_path / "out" / "forecast.json").write_text("somebody's own", encoding="utf-8")
        return do(*given)

    monkeypatch.setattr(batches, "do_batch", meanwhile)
    code, answer, said = keystrip(*COMMANDS["forecast"], "--out", "out")
    assert code == 2 and "Four runs in five reach" in answer
    assert said.startswith("keystrip: --out: out/forecast.json stands in no record")
    assert said.endswith("; 3 runs are kept in out: run the same again then\n")
    assert files_in(tmp_path / "out").keys() == {FILE, "forecast.json"}
    assert (tmp_path / "out" / "forecast.json").read_text(encoding="utf-8") == "somebody's own"


def test_an_order_does_not_replace_the_steps_of_a_run(keystrip, tmp_path):
    assert keystrip("trace", "short.toml", "--out", "mine.csv")[0] == 0
    steps = (tmp_path / "mine.csv").read_bytes()
    code, answer, said = keystrip("takeoff", "short.toml", "--csv", "mine.csv")
    assert (code, answer, said.count("\n")) == (2, "", 1)
    assert "mine.csv was written by keystrip trace, not by keystrip takeoff --csv" in said
    assert (tmp_path / "mine.csv").read_bytes() == steps
    assert keystrip("trace", "short.toml", "--out", "mine.csv")[0] == 0
    assert keystrip("takeoff", "short.toml", "--csv", "mine.csv", "--force")[0] == 0
    assert (tmp_path / "mine.csv").read_bytes() != steps
