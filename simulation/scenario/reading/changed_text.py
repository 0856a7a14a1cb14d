"""Write a scenario that was changed as a file: the planner's own text with the changed keys in it, comments kept."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.scenario.reading.blocks import put_blocks
from simulation.scenario.reading.changes import apply, paths_of

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario


def write_changed(scenario: Scenario) -> str:
    """Return the text of a scenario with its changes in it.

    Raises
    ------
    ValueError
        If one of its changes multiplies: that is no value of a key that could be written.
    """
    import tomlkit

    text: Any = tomlkit.parse(scenario.source.text)
    for change in scenario.source.changes:
        if change.factor is not None:
            raise ValueError(f"{change}: what is multiplied has no value of its own to be written")
        if change.added is None:
            apply(text, change)
            put_blocks(text, change)
            continue
        for path in paths_of(text, change.address):
            *steps, key = path
            table: Any = text
            value: Any = scenario
            for step in steps:
                table, value = table[step], value[step] if isinstance(step, int) else getattr(value, step)
            table[key] = getattr(value, str(key))
    return tomlkit.dumps(text)
