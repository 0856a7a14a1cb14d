"""What the README tells a reader to type works as it stands there."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"^```{language}\n(.*?)^```", TEXT, flags=re.MULTILINE | re.DOTALL)


def typed(line, folder):
    """Run one line of the README with the program of this checkout."""
    program, *words = shlex.split(line)
    assert program == "keystrip"
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from simulation.cli import main; main()"
    return subprocess.run([sys.executable, "-c", code, *words], cwd=folder, capture_output=True, text=True, timeout=240)


def test_the_commands_to_make_a_field_your_own_run_in_their_order_with_fewer_runs(keystrip, tmp_path):
    # In this process, which has loaded everything, and one forecast of 24 runs; as it is typed, it is left to the slow tests.
    lines = [shlex.split(line) for line in blocks("sh")[1].splitlines()]
    forecasts = [words for words in lines if words[:2] == ["keystrip", "forecast"]]
    assert len(forecasts) == 1
    forecasts[0].extend(("--runs", "24"))
    for program, *words in lines:
        code, _, said = keystrip(*words)
        assert (program, code) == ("keystrip", 0), (words, said)
    assert (tmp_path / "steps.csv").is_file()
    assert (tmp_path / "reports" / "my_field" / "s_curve.png").is_file()


@pytest.mark.slow
def test_the_commands_to_make_a_field_your_own_run_in_their_order(tmp_path):
    run_in_their_order(blocks("sh")[1], tmp_path)
    assert (tmp_path / "steps.csv").is_file()
    assert (tmp_path / "reports" / "my_field" / "s_curve.png").is_file()


@pytest.mark.slow
def test_the_commands_to_look_at_a_field_run_in_their_order(tmp_path):
    run_in_their_order(blocks("sh")[0], tmp_path)
    assert (tmp_path / "my_field.html").is_file()
    assert (tmp_path / "still.png").is_file()


@pytest.mark.slow
def test_the_commands_to_decide_run_in_their_order(tmp_path):
    assert typed("keystrip new my_field.toml", tmp_path).returncode == 0
    run_in_their_order(blocks("sh")[3], tmp_path)
    kept = {file.stem for file in (tmp_path / "reports" / "my_field").glob("*.png")}
    assert kept == {"compare_crews_start", "staffing", "bottlenecks", "slip_supply", "sensitivity"}


def test_the_commands_on_work_that_has_begun_run_in_their_order_with_fewer_runs(keystrip, tmp_path):
    assert keystrip("new", "my_field.toml")[0] == 0
    for line in blocks("sh")[2].splitlines():
        program, *words = shlex.split(line)
        code, _, said = keystrip(*words, *(("--runs", "4", "--workers", "1") if words[0] == "update" else ()))
        assert (program, code) == ("keystrip", 0), (words, said)
    assert (tmp_path / "reports" / "my_field" / "update.png").is_file()


def run_in_their_order(block, folder):
    lines = [line for line in block.splitlines() if line]
    assert lines
    for line in lines:
        done = typed(line, folder)
        assert done.returncode == 0, (line, done.stderr)


def test_the_python_of_the_readme_runs(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    (block,) = blocks("python")
    exec(compile(block, "README.md", "exec"), {"__name__": "readme"})
    printed = capsys.readouterr().out
    assert "78 pallets with spares" in printed
    assert "P80: " in printed


def test_the_readme_opens_with_two_commands_and_continuous_integration_runs_the_second():
    install, check = (block.strip() for block in blocks("")[:2])
    assert install.endswith("keystrip forecast")
    assert check in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


@pytest.mark.parametrize("picture", re.findall(r"!\[[^\]]*\]\(([^)]+)\)", TEXT))
def test_every_picture_of_the_readme_is_there(picture):
    assert (ROOT / picture).is_file()


@pytest.mark.slow
@pytest.mark.parametrize("place", [5, 6])
def test_the_commands_on_weather_and_field_run_in_their_order(tmp_path, place):
    assert typed("keystrip new my_field.toml", tmp_path).returncode == 0
    run_in_their_order(blocks("sh")[place], tmp_path)
