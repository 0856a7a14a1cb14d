"""Fields for the tests of this room: areas and scenarios written as a planner writes them."""

import pytest

from simulation.scenario import parse_scenario
from simulation.scenario.tables.ground import Area


def toml(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(one)}" for key, one in value.items()) + " }"
    return {True: "true", False: "false"}.get(value, f'"{value}"') if isinstance(value, bool | str) else str(value)


def written(areas, supply, mat):
    named = [{"name": f"area {number}", **area} for number, area in enumerate(areas, start=1)]
    blocks = [("[[area]]", area) for area in named] + [("[supply]", supply), ("[mat]", mat)]
    lines = [line for head, table in blocks for line in (head, *(f"{key} = {toml(value)}" for key, value in table.items()))]
    names = ", ".join(f'"{area["name"]}"' for area in named)
    return "\n".join([*lines, "[[crew]]", 'name = "red"', "people = 18", f"areas = [{names}]"])


@pytest.fixture(scope="session")
def field_of():
    """Return a scenario whose areas are given as tables; `supply` and `mat` add to it."""

    def make(*areas, supply=None, mat=None):
        return parse_scenario(written(areas, supply or {"on_hand": 1}, mat or {}))

    return make


@pytest.fixture(scope="session")
def area_of():
    """Return an area by its rows of 2 ft and its width in half mats of 6 ft."""

    def make(rows, halves, **more):
        return Area.model_validate({"name": "strip", "length": f"{2 * rows} ft", "width": f"{6 * halves} ft", **more})

    return make
