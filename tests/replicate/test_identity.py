"""Does an edited program, scenario or library ever pass for the one that made the runs?"""

import shutil
import subprocess
import sys
from importlib import metadata
from pathlib import Path

import pytest
from scenarios import LITTLE, make_scenario

import simulation
from simulation.replicate import identity
from simulation.replicate.identity import (
    LIBRARIES,
    ROOMS,
    Identity,
    other_rooms,
    program_hash,
    scenario_hash,
    source_hash,
    version_of,
    versions,
)
from simulation.scenario import parse_scenario

HOUSE = Path(simulation.__file__).parent


#: Prints the program's hash as it is, and after each edit of a file.
EDITS = """
import sys
from importlib import metadata
from pathlib import Path
from simulation.replicate.identity import program_hash
print(program_hash())
for name in sys.argv[1:]:
    with (Path("simulation") / name).open("a") as file:
        file.write("\\n# another thought\\n")
    program_hash.cache_clear()
    print(program_hash())
"""


def test_only_an_edit_that_can_change_a_run_makes_another_program(tmp_path):
    shutil.copytree(HOUSE, tmp_path / "simulation", ignore=shutil.ignore_patterns("__pycache__"))
    readers = ["present/words/wording.py", "study/outcomes.py", "questions/forecast/study.py", "session/session.py"]
    builders = [
        "construction/actors/crew.py",
        "scenario/tables/people.py",
        "chance/streams.py",
        "conditions/sky/rain.py",
        "field/rows.py",
    ]
    command = [sys.executable, "-c", EDITS, *readers, *builders]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=True)
    first, *edited = done.stdout.split()
    assert first == program_hash()
    assert set(edited[: len(readers)]) == {first}
    assert len({first, *edited}) == 1 + len(builders)


def test_every_room_is_one_that_runs_come_from_or_another_and_has_a_hash_of_its_own():
    rooms = {entry.name for entry in HOUSE.iterdir() if (entry / "__init__.py").is_file()}
    assert {*ROOMS, *other_rooms()} == rooms
    assert len({source_hash([room]) for room in rooms}) == len(rooms)


def test_a_library_has_the_version_that_its_installer_tells():
    assert [version_of(library) for library in LIBRARIES] == [metadata.version(library) for library in LIBRARIES]
    with pytest.raises(metadata.PackageNotFoundError):
        version_of("no such library")


@pytest.mark.parametrize(
    ("was", "is_now"), [('"120 ft"', '"122 ft"'), ("people = 14", "people = 15"), ("Little field", "Small field")]
)
def test_another_scenario_has_another_hash(was, is_now):
    assert scenario_hash(parse_scenario(LITTLE.replace(was, is_now))) != scenario_hash(make_scenario(LITTLE))


def test_how_a_scenario_is_written_down_and_its_seed_do_not_make_it_another():
    same = LITTLE.replace('"120 ft"', '"40 yd"').replace("seed = 31", "seed = 5 # another one")
    assert scenario_hash(parse_scenario(same, "elsewhere.toml")) == scenario_hash(make_scenario(LITTLE))


def test_the_key_holds_every_part():
    hows = ((31, "random"), (31, "random"), (32, "random"), (31, "lhs"))
    one, again, seed, sampling = (Identity.of(make_scenario(LITTLE), *how).key for how in hows)
    assert one == again
    assert len({one, seed, sampling}) == 3


def test_versions_name_python_and_every_library_that_numbers_pass_through():
    assert versions().keys() == {"python", *identity.LIBRARIES}
    assert versions()["numpy"] == __import__("numpy").__version__
