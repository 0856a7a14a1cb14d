"""Is a table read by itself, wherever in a scenario it stands, and are its mistakes told of where it stands?"""

from collections.abc import Iterator
from typing import Any

import pytest

from simulation.scenario import ScenarioError, parse_scenario
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.section import Section


def _tables_in(schema: Any) -> Iterator[str]:
    """Yield the tables that are read by one schema of pydantic's."""
    if isinstance(schema, dict):
        if schema.get("type") == "model":
            yield schema["cls"].__name__
        schema = [*schema.values()]
    if isinstance(schema, list | tuple):
        for part in schema:
            yield from _tables_in(part)


def test_what_reads_a_scenario_reads_no_table_in_it_so_that_only_those_written_are_built():
    for table in (Scenario, *Section.__subclasses__()):
        table.model_rebuild(force=True)
        assert set(_tables_in(table.__pydantic_core_schema__)) == {table.__name__}


def test_mistakes_in_tables_inside_of_tables_are_told_of_where_they_stand_all_at_once():
    text = """
    area = [{ name = "apron", length = "120 ft", width = "72 ft", ramp = { depth = "9 ft" }, rail = { section = 3 } }]
    crew = [{ name = "A", people = 14, areas = ["apron"] }]
    supply = { trucks = [{ count = 2, haul = { p10 = "2 h", p90 = "1 h" }, return = "1 h" }] }
    """
    with pytest.raises(ScenarioError) as refused:
        parse_scenario(text)
    told = [mistake.key for mistake in refused.value.mistakes]
    assert {"area.apron.rail.section", "supply.trucks.1.haul.p90"} <= {*told}
