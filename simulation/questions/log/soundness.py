"""What does a sound log come to, in a few lines: until when it goes, what is laid, what came, and what was taken for granted?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from simulation.construction.site_log.reading import LogReading
    from simulation.scenario import Scenario


def check_log(scenario: Scenario) -> list[str]:
    """Return what the log of a scenario comes to.

    Raises
    ------
    ScenarioError, LogError
        If the scenario cannot finish, or the log is not sound.
    """
    from simulation.construction import tell_log

    log = tell_log(scenario)
    return [*took_for_granted(log), _sound(scenario, log)]


def took_for_granted(log: LogReading) -> list[str]:
    """Return what follows from columns that are missing, and which lines are left out."""
    lines = list(log.taken)
    if log.later:
        numbers = ", ".join(map(str, log.later[:8])) + (" …" if len(log.later) > 8 else "")
        lines.append(f"left out, since they go beyond the moment: line{'s' if len(log.later) > 1 else ''} {numbers}")
    return lines


def _sound(scenario: Scenario, log: LogReading) -> str:
    if log.state is None:
        return "sound; nothing in it yet, so the work has not begun"
    state = log.state
    moment = make_calendar(scenario).moment(state.at)
    share = state.lived[-1][1] if state.lived else 0.0
    rows = sum(edge.laid for edge in state.edges)
    staged = sum(edge.staged for edge in state.edges)
    where = f"{staged:,} stand at laying edges, {state.yard:,} in the yard"
    return (
        f"sound; {wording.counted(log.lines, 'line')} up to {moment:%a} {moment.day} {moment:%b %Y %H:%M}: {rows:,} rows laid, "
        f"{100.0 * share:.0f} % of the field; {state.came:,} pallets came, {where}"
    )
