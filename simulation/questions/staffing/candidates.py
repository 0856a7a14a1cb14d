"""Which teams are in question? Ranges of crews and forklifts, and starts, as planners write them, and their scenarios."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import refusal, shown
from simulation.study.job import refuse_take_up
from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.scenario import Scaled, Scenario, ScenarioError, Team

#: Teams where none are named: one or two crews from eight to twenty two-person teams and their overhead. Planning value.
CREWS = "1..2x16..40:4"
#: Teams where none are named and the crews of a scenario keep times of their own: its own crews with fewer and more people.
#: Planning value.
OWN_CREWS = "50..150:25%"
#: Teams in question at once: more would take hours, and a coarser range says where to look. Planning value.
MOST_CANDIDATES = 300
STARTS = ("one-end", "centre-out")
#: How a range is written, in a sentence.
RANGES = "a range is N, LOW..HIGH or LOW..HIGH:STEP"

_RANGE = re.compile(r"(\d{1,4})(?:\s*\.\.\s*(\d{1,4})(?:\s*:\s*(\d{1,4}))?)?")


@dataclass(frozen=True)
class Search:
    """The teams in question: every one of `teams` with every start and every number of forklifts.

    Attributes
    ----------
    teams : tuple of Team or Scaled
        Equal crews, or the scenario's own with fewer or more people in each.
    starts : tuple of str
        Of the first area; none: as the scenario has it.
    forklifts : tuple of int
        None: as many as the scenario has.
    usual : bool
        Whether nobody asked for these teams: one that breaks a rule is then left out, and none is refused.
    """

    teams: tuple[Team | Scaled, ...]
    starts: tuple[str, ...] = ()
    forklifts: tuple[int, ...] = ()
    usual: bool = False


@dataclass(frozen=True)
class LeftOut:
    """A team that nobody asked for and that breaks a rule.

    Attributes
    ----------
    name : str
    why : str
        What is wrong with it.
    """

    name: str
    why: str


@dataclass(frozen=True)
class Candidate:
    """One team in question.

    Attributes
    ----------
    team : Team or Scaled
    start : str or None
        Of the first area, where starts are in question.
    forklifts : int
    scenario : Scenario
        With this team in it.
    name : str
        What sets it apart from the others, such as ``2x20, centre-out, 3 forklifts``.
    """

    team: Team | Scaled
    start: str | None
    forklifts: int
    scenario: Scenario
    name: str

    @property
    def people(self) -> int:
        """People on site, operators and drivers included."""
        return count_people(self.scenario).total

    @property
    def size(self) -> tuple[int, int]:
        """What makes a team small: people on site, then forklifts."""
        return self.people, self.forklifts


def read_search(crews: str = CREWS, start: str | None = None, forklifts: str | None = None) -> Search:
    """Return the teams in question as a planner writes them.

    Parameters
    ----------
    crews : str
        Crews x people in each, either a number or a range, several apart by commas: ``1x16..40:4,2x12..24``; or percent of the
        people of each of the scenario's own crews: ``50..150:25%``.
    start : str, optional
        One or both of ``one-end,centre-out``. Default: the scenario's.
    forklifts : str, optional
        A number or a range, several apart by commas: ``2..5``. Default: the scenario's.

    Raises
    ------
    ScenarioError
        If one cannot be read, runs backwards or holds nothing, or if there are too many teams.
    """
    from simulation.scenario import Scaled, Team

    parts = _parts("crews", crews, "such as 1..2x16..40:4")
    pairs = [_teams_of(part) for part in parts if not part.endswith("%")]
    percents = [_range_of("crews", part.removesuffix("%").strip()) for part in parts if part.endswith("%")]
    starts = (
        tuple(dict.fromkeys(_start_of(part) for part in _parts("start", start, "one-end,centre-out")))
        if start is not None
        else ()
    )
    ranges = (
        [_range_of("forklifts", part) for part in _parts("forklifts", forklifts, "such as 2..5")] if forklifts is not None else []
    )
    each_start_and_forklift = max(1, len(starts)) * max(1, sum(map(len, ranges)))
    count = (sum(len(each) * len(people) for each, people in pairs) + sum(map(len, percents))) * each_start_and_forklift
    if count > MOST_CANDIDATES:
        right = f"at most {MOST_CANDIDATES} are taken: write shorter ranges or longer steps, such as 16..40:8"
        raise refusal("crews", f"{count:,} teams are in question", right)
    teams: list[Team | Scaled] = [Team(*sizes) for each, people in pairs for sizes in product(each, people)]
    teams += [Scaled(percent) for each in percents for percent in each]
    return Search(tuple(dict.fromkeys(teams)), starts, tuple(dict.fromkeys(start for each in ranges for start in each)))


def _parts(option: str, text: str | None, right: str) -> list[str]:
    parts = [part.strip() for part in (text or "").split(",")]
    if not all(parts):
        raise refusal(option, f"{shown(text or '')} leaves something out", f"write {right}")
    return parts


def _teams_of(text: str) -> tuple[range, range]:
    crews, cross, people = (part.strip() for part in text.replace("×", "x").partition("x"))
    if not cross:
        raise refusal(
            "crews", f"{shown(text)} is no team", f"write crews x people in each, such as 2x20 or 1..2x16..40:4; {RANGES}"
        )
    return _range_of("crews", crews), _range_of("crews", people)


def _range_of(option: str, text: str) -> range:
    match = _RANGE.fullmatch(text)
    if match is None:
        raise refusal(option, f"{shown(text)} is neither a number nor a range", f"{RANGES}, such as 16..40:4")
    low = int(match[1])
    high, step = int(match[2] or low), int(match[3] or 1)
    if high < low:
        raise refusal(option, f"{text} runs backwards", f"write {high}..{low}")
    if not step:
        raise refusal(option, f"{text} has a step of nothing", f"write {low}..{high}, or a step of 1 or more")
    if not low:
        raise refusal(option, f"{text} holds none at all", "begin at 1 or more")
    return range(low, high + 1, step)


def _start_of(text: str) -> str:
    if text not in STARTS:
        raise refusal("start", f"{shown(text)} is no start", f"write {' or '.join(STARTS)}, or both with a comma")
    return text


def list_candidates(scenario: Scenario, search: Search) -> tuple[tuple[Candidate, ...], tuple[LeftOut, ...]]:
    """Return the teams in question, the smallest first: by people on site, then by forklifts; and the usual ones left out.

    Raises
    ------
    ScenarioError
        If a team that was asked for, or every usual one, cannot do the work, such as one too few to carry a mat.
    """
    from simulation.scenario import ScenarioError

    if search.starts:
        refuse_take_up(scenario, "where its areas begin is laid down: leave --start out")
    starts: Sequence[str | None] = search.starts or (None,)
    counts: Sequence[int | None] = search.forklifts or (None,)
    candidates, left_out, refused = [], dict[str, LeftOut](), None
    for choice in product(search.teams, starts, counts):
        try:
            candidates.append(_candidate(scenario, *choice))
        except ScenarioError as error:
            mistake = error.mistakes[0]
            if not search.usual or not mistake.key.startswith("crew"):
                raise _refused_choice(*choice, error) from None
            name, refused = _name_of(choice[0], scenario), refused or _refused_choice(*choice, error)
            left_out[name] = LeftOut(name, mistake.wrong)
    if refused is not None and not candidates:
        raise refused
    in_order = sorted(candidates, key=lambda candidate: (candidate.size, len(candidate.scenario.crew), candidate.name))
    return tuple(in_order), tuple(left_out.values())


def usual_search(scenario: Scenario, start: str | None = None, forklifts: str | None = None) -> Search:
    """Return the teams that are in question where none are named, with starts and forklifts as in `read_search`."""
    return replace(read_search(usual_crews(scenario), start, forklifts), usual=True)


def usual_crews(scenario: Scenario) -> str:
    """Return the teams that are in question where none are named: those of a scenario with hours of its crews keep them."""
    own = len({crew.since for crew in scenario.crew}) > 1 or any(crew.shift is not None for crew in scenario.crew)
    return OWN_CREWS if own else CREWS


def _candidate(scenario: Scenario, team: Team | Scaled, start: str | None, forklifts: int | None) -> Candidate:
    from simulation.construction import compile_plan
    from simulation.scenario import Change, vary
    from simulation.scenario.types.mistakes import step_name

    changes, name = list(team.changes(scenario)), _name_of(team, scenario)
    if start is not None:
        name += f", {start}"
        changes.append(Change(f"area.{step_name(scenario.area[0].name)}.start", start))
    if forklifts is not None:
        name += f", {forklifts} {'forklift' if forklifts == 1 else 'forklifts'}"
        changes.append(Change("forklifts.count", str(forklifts)))
    varied = vary(scenario, changes)
    compile_plan(varied)  # some rules, as of taking up, are met only here
    return Candidate(team, start, varied.forklifts.count, varied, name)


def _name_of(team: Team | Scaled, scenario: Scenario) -> str:
    from simulation.scenario import Team

    return str(team) if isinstance(team, Team) else f"{team}, {team.people(scenario)}"


def _refused_choice(team: Team | Scaled, start: str | None, forklifts: int | None, error: ScenarioError) -> ScenarioError:
    """Return the refusal of what was asked for: it names the option, since the planner's file has nothing to mend."""
    from simulation.scenario import Team

    first = error.mistakes[0]
    option = f"--crews {team}" if isinstance(team, Team) else f"--crews {team.percent}%"
    if first.key.startswith("area") and start is not None:
        option = f"--start {start}"
    elif first.key.startswith("forklifts") and forklifts is not None:
        option = f"--forklifts {forklifts}"
    return refusal(error.file, first.wrong, first.right, option)
