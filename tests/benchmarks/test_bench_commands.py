"""Does the table of commands tell a regression, and what every command loads before it answers?"""

import json
import os
import subprocess
import sys

import bench_commands
import pytest
from bench_commands import Measured, Row, as_table, measure, read_baseline, save_baseline
from bench_imports import ROOT, loaded_by

#: Libraries that a command has no need of; whoever loads one makes every call of it slower.
TABLES, CHARTS, SPECIAL = {"pandas"}, {"matplotlib", "mpl_toolkits"}, {"scipy.special", "scipy.stats"}
OTHERS = {
    "pint",
    "SALib",
    "jinja2",
    "reportlab",
    "simulation.construction.learning.lessons",
    "simulation.scenario.site_log.log_lines",
    "simulation.conditions.fit.fitting",
}
#: Tables that the scenario asked about has not: what would read them is not built.
UNWRITTEN = {
    "Trucks",
    "Flights",
    "Shipment",
    "Task",
    "Gang",
    "Heat",
    "Cold",
    "Soil",
    "WeatherFile",
    "UsedMats",
    "Damage",
}
UNNEEDED = {
    "check first_look": {*TABLES, *CHARTS, *SPECIAL, *OTHERS, "rich"},
    "takeoff first_look": {*TABLES, *CHARTS, *SPECIAL, *OTHERS},
    "new mine.toml": {*TABLES, *CHARTS, *SPECIAL, *OTHERS, "rich"},
    "forecast first_look --runs 4 --workers 1": {*TABLES, *SPECIAL, *OTHERS},
    "studies reports/first_look": {*TABLES, *CHARTS, *SPECIAL, *OTHERS},
    "bottlenecks first_look --runs 4 --workers 1": {*TABLES, *OTHERS},
    # The same forecast again: its picture stands there already.
    "forecast first_look --runs 4 --workers 1 --full": {*TABLES, *CHARTS, *SPECIAL, *OTHERS},
}


#: The commands that a call loads, as rooms: it needs its own alone.
_ROOMS = """
import sys
import simulation.cli
sys.argv = ["keystrip", "studies", "."]
try:
    simulation.cli.main()
except SystemExit:
    pass
loaded = [name.split(".") for name in sys.modules if name.startswith("simulation.questions.")]
print(*(name[2] for name in loaded if name[-1] == "command"))
"""


def test_a_call_loads_the_command_that_is_asked_for_and_no_other(tmp_path):
    words, environment = [sys.executable, "-c", _ROOMS], {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(words, cwd=tmp_path, env=environment, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "studies"


#: Each command in a process of its own, which has loaded before only what every one of them needs.
_LOOK = """
import json, os, sys
import numpy, pydantic, simulation.cli
from simulation.scenario import load_scenario
for command, unneeded in json.loads(sys.argv[1]).items():
    child = os.fork()
    if child:
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0, command
        continue
    sys.argv = ["keystrip", *command.split()]
    try:
        simulation.cli.main()
    except SystemExit as end:
        code = end.code or 0
    from pydantic.plugin import _loader
    from simulation.scenario.types.section import Section
    assert _loader._plugins is None  # no package that is installed was looked through
    built = [table.__name__ for table in Section.__subclasses__() if table.__pydantic_complete__]
    loaded = [name for name in unneeded if name in sys.modules or name in built]
    print("loaded:", json.dumps([command, loaded]), file=sys.stderr, flush=True)
    os._exit(code)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="POSIX only: elsewhere a process cannot be split in two")
def test_no_command_loads_a_library_that_it_has_no_need_of(tmp_path):
    words = [sys.executable, "-c", _LOOK, json.dumps({command: sorted(names | UNWRITTEN) for command, names in UNNEEDED.items()})]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(words, cwd=tmp_path, env=environment, capture_output=True, text=True, check=True)
    told = [line.removeprefix("loaded: ") for line in done.stderr.splitlines() if line.startswith("loaded: ")]
    assert dict(map(json.loads, told)) == {command: [] for command in UNNEEDED}


def test_a_row_that_does_more_work_than_the_baseline_is_called_slower_whatever_the_machine():
    then = {name: Measured(wall=10.0, cpu=12.0, bare=1e-6, runs=400) for name in ("the same", "more", "less")}
    now = {
        "the same": Measured(wall=20.0, cpu=24.0, bare=2e-6, runs=400),  # on a machine half as fast
        "more": Measured(wall=10.0, cpu=15.0, bare=1e-6, runs=500),
        "less": Measured(wall=5.0, cpu=6.0, bare=1e-6, runs=100),
        "new": Measured(wall=1.0, cpu=1.0, bare=1e-6, runs=0),
    }
    rows = {
        line.split("|")[1].strip(): [cell.strip() for cell in line.split("|")[2:-1]]
        for line in as_table(now, then, "old").splitlines()
    }
    assert rows["the same"] == ["20.00", "20.00", "12,000", "12,000", "1.00", "400", "0"]
    assert rows["more"][4:] == ["1.25 slower", "500", "-100"]
    assert rows["less"][4:] == ["0.50", "100", "300"]
    assert rows["new"][4] == "–"


def test_a_baseline_keeps_the_rows_of_its_commit_and_no_others(tmp_path):
    file, row = tmp_path / "baseline.json", Measured(1.0, 2.0, 1e-6, 3)
    save_baseline({"check": row}, "a", file)
    save_baseline({"slip": row}, "a", file)
    assert read_baseline(file) == ("a", {"check": row, "slip": row})
    save_baseline({"slip": row}, "b", file)
    assert read_baseline(file) == ("b", {"slip": row})


def test_the_kept_baseline_tells_of_rows_that_there_are():
    rows = json.loads(bench_commands.BASELINE.read_text(encoding="utf-8"))["rows"]
    assert rows.keys() <= {*(row.name for row in bench_commands.ROWS), "first run begins"}
    assert all(row["cpu"] > 0 and row["bare"] > 0 for row in rows.values())


@pytest.mark.slow
def test_a_command_is_measured_with_the_runs_that_it_does(tmp_path):
    folder = tmp_path / "work"
    first = measure(Row("first", "forecast first_look --runs 6"), ROOT, folder, 1, 2000)
    again = measure(Row("again", "forecast first_look --runs 6", goes_on=True), ROOT, folder, 1, 2000)
    assert (first.runs, again.runs) == (6, 0)
    assert min(first.cpu, again.cpu) > 0.0
    assert loaded_by("check first_look", tmp_path)["numpy"] > 0
