"""Is the house still the one that was agreed? One-way rooms, small files with plain names, a bare top level, a quick door."""

import importlib
import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "simulation"
ROOMS = ["scenario", "chance", "field", "conditions", "construction", "replicate"]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "simulation", "configs", "tests", "reports"}
VAGUE = {"util", "utils", "utility", "utilities", "helper", "helpers", "common", "misc", "manager", "managers"}
HEAVY = {"matplotlib", "pandas", "scipy", "pint", "pydantic", "simpy"}


def test_data_flows_one_way_through_the_rooms():
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as run; run()", "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert re.search(r"[1-9]\d* kept, 0 broken", done.stdout), done.stdout


def test_no_file_of_the_package_holds_more_than_one_idea_of_300_lines():
    lengths = {str(file.relative_to(ROOT)): len(file.read_text(encoding="utf-8").splitlines()) for file in PACKAGE.rglob("*.py")}
    assert len(lengths) > 20
    assert {file: length for file, length in lengths.items() if length > 300} == {}


def test_every_file_of_the_package_says_first_which_question_lives_there():
    silent = [str(file.relative_to(ROOT)) for file in PACKAGE.rglob("*.py") if not file.read_text("utf-8").startswith('"""')]
    assert silent == []


def test_the_top_level_holds_what_was_agreed_and_dotfiles():
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout, so nothing says which files belong to it")
    listed = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    top = {name.split("/")[0] for name in listed.split("\0") if name}
    assert "pyproject.toml" in top
    assert {name for name in top if not name.startswith(".")} - TOP == set()


def test_no_file_has_a_name_that_could_mean_anything():
    files = [*PACKAGE.rglob("*.py"), *(ROOT / "tests").rglob("*.py")]
    vague = {
        str(file.relative_to(ROOT))
        for file in files
        for part in file.relative_to(ROOT).with_suffix("").parts
        if VAGUE & set(part.split("_"))
    }
    assert vague == set()


def test_files_of_the_tests_have_names_of_their_own():
    names = [file.name for file in (ROOT / "tests").rglob("test_*.py")]
    assert sorted(names) == sorted(set(names))


def test_tests_of_a_room_stand_in_a_folder_of_its_name():
    tests = ROOT / "tests"
    folders = {file.parent.relative_to(tests) for file in tests.rglob("test_*.py")} - {Path()}
    astray = {folder.parts[0] for folder in folders if not (PACKAGE / folder).is_dir()}
    # Published values, wrong input and speed are asked of the whole program.
    assert astray == {"external", "faults", "benchmarks"}


def test_every_file_that_the_map_names_is_there():
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = set(re.findall(r"`(?:python )?([a-z_/]+/[a-z_]+\.(?:py|json|txt|toml|css))`", text))
    assert len(named) > 60
    files = [f"/{file.relative_to(ROOT)}" for folder in ("simulation", "tests") for file in (ROOT / folder).rglob("*.*")]
    assert [name for name in sorted(named) if not any(file.endswith(f"/{name}") for file in files)] == []


def test_asking_for_help_loads_no_heavy_library():
    command = [sys.executable, "-X", "importtime", "-m", "simulation", "--help"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    loaded = {
        line.rsplit("|", 1)[1].strip().split(".")[0] for line in done.stderr.splitlines() if line.startswith("import time:")
    }
    assert "simulation" in loaded
    assert loaded & HEAVY == set()


@pytest.mark.parametrize("room", ROOMS)
def test_what_a_room_offers_is_documented(room):
    module = importlib.import_module(f"simulation.{room}")
    assert module.__all__, f"simulation.{room} offers nothing"
    for name in module.__all__:
        thing = getattr(module, name)
        if inspect.isclass(thing) or inspect.isroutine(thing):
            # A dataclass without a docstring gets its own signature as one.
            text = (thing.__doc__ or "").strip()
            assert text and not text.startswith(f"{name}("), f"simulation.{room}.{name} has no docstring"


def test_the_front_door_offers_the_agreed_names_and_no_room_bears_one_of_them():
    door = importlib.import_module("simulation")
    assert {"load_scenario", "take_off", "run_once", "forecast"} <= set(door.__all__)
    assert set(door.__all__) & set(ROOMS) == set()
    assert [name for name in door.__all__ if not (getattr(door, name).__doc__ or "").strip()] == []
