"""What may be chosen? Every plan that keeps within the limits, each a few changes of the scenario.

A plan is one value of each choice. Some choices follow from the others: how large crews can be from how many people drive and
grade beside them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import islice, product
from typing import TYPE_CHECKING

from simulation.questions.plan.limits import Broken, Limits
from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.construction import Plan
    from simulation.scenario import Change, Scenario


@dataclass(frozen=True)
class Option:
    """One value of a choice.

    Attributes
    ----------
    words : str
        How it is called; empty as written.
    changes : tuple of Change
    as_written : str
        Of the first value of a choice: how it is called beside a plan that has another one.
    spread : callable or None
        What follows from the other choices: given a scenario with these in it, returns changes, and how they are called.
    """

    words: str
    changes: tuple[Change, ...] = ()
    as_written: str = ""
    spread: Callable[[Scenario], tuple[str, tuple[Change, ...]]] | None = None


@dataclass(frozen=True)
class ChosenPlan:
    """One plan: a trial.

    Attributes
    ----------
    name : str
        What is otherwise than in the scenario as written.
    changes : tuple of Change
    scenario : Scenario
    people : int
        On site, all included.
    words : tuple of str
        What is otherwise by each choice, empty where it is as written; none for a plan that is not of the space.
    as_written : tuple of str
        How each choice is called as written.
    """

    name: str
    changes: tuple[Change, ...]
    scenario: Scenario
    people: int
    words: tuple[str, ...] = ()
    as_written: tuple[str, ...] = ()

    def against(self, other: ChosenPlan) -> str:
        """Return how it is called beside another plan: what is otherwise than in that one, where both are of the space."""
        if not self.words or not other.words:
            return self.name
        three = zip(self.words, other.words, self.as_written, strict=True)
        return ", ".join(own or as_written for own, theirs, as_written in three if own != theirs) or self.name


#: Plans that are looked at one after the other for one that keeps within the limits, where none is near. Planning value: seconds.
SOUGHT = 100
#: What no planner chooses to be ready earlier: names, luck, what is asked of the plan, what limits it, what is looked at of it.
NOT_CHOSEN = ("job", "title", "seed", "horizon", "units", "limits", "choose")
#: How the scenario as written is called.
AS_WRITTEN_NAME = "as written"
#: Which value of each choice, by number: one combination of the space of plans.
Picks = tuple[int, ...]


@dataclass
class Space:
    """All plans that may be chosen.

    Attributes
    ----------
    scenario : Scenario
        As written.
    limits : Limits
    choices : tuple of tuple of Option
        The values of each choice, that of the scenario as written first.
    always : tuple of Change
        What every plan has: a limit of loads a day that the scenario does not state.
    outside : dict
        Plans that were looked at and break a limit, with what they break.
    unsound : dict
        Plans that cannot work, with the reason.
    joined : dict
        Plans that are another one over again to every run, with the values picked of that one.
    """

    scenario: Scenario
    limits: Limits
    choices: tuple[tuple[Option, ...], ...]
    always: tuple[Change, ...] = ()
    outside: dict[Picks, list[Broken]] = field(default_factory=dict)
    unsound: dict[Picks, str] = field(default_factory=dict)
    joined: dict[Picks, Picks] = field(default_factory=dict)
    _plans: dict[Picks, ChosenPlan | None] = field(default_factory=dict)
    _compiled: dict[Picks, Plan] = field(default_factory=dict)
    _alike: dict[object, list[Picks]] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """How many combinations there are, those that break a limit included."""
        return math.prod(map(len, self.choices))

    @property
    def as_written(self) -> Picks:
        """The place of the scenario as written."""
        return (0,) * len(self.choices)

    def combinations(self) -> Iterator[Picks]:
        """Yield every place."""
        yield from product(*(range(len(options)) for options in self.choices))

    def plan(self, picks: Picks) -> ChosenPlan | None:
        """Return the plan at a place; None where it breaks a limit, cannot work, or is another one over again."""
        if picks not in self._plans:
            self._plans[picks] = self._make(picks)
        return self._plans[picks]

    def excess(self, picks: Picks) -> float:
        """Return by how much a plan breaks the limits, as parts of them; without end where it cannot work."""
        if self.plan(picks) is not None or picks in self.joined:
            return 0.0
        return sum_broken(self.outside[picks]) if picks in self.outside else math.inf

    def starts(self) -> list[Picks]:
        """Return where climbs begin: as written, with each value of the first choice; at another where these are outside."""
        starts = [(number, *self.as_written[1:]) for number in range(len(self.choices[0]))]
        inside = [picks for picks in starts if self.plan(picks) is not None]
        return inside or [self._nearest_inside(self.as_written)]

    def why_none(self) -> str:
        """Return which limit the plan that comes nearest breaks, and by how much."""
        if not self.outside:
            return next(iter(self.unsound.values()), "nothing may be chosen")
        broken = min(self.outside.values(), key=sum_broken)
        seen = len(self._plans)
        which = "no plan" if seen >= self.size else f"none of the {seen:,} plans looked at, of {self.size:,} that there are,"
        return f"{which} keeps within the limits; the nearest has {'; '.join(map(str, broken))}"

    def _nearest_inside(self, picks: Picks) -> Picks:
        """Return a plan that keeps within the limits: choice by choice towards less of what is too much, then in order of the
        space; the last one looked at where there is none.
        """
        before: Picks = ()
        while picks != before and self.excess(picks):
            before = picks
            for choice, options in enumerate(self.choices):
                row = [(*picks[:choice], number, *picks[choice + 1 :]) for number in range(len(options))]
                picks = min((picks, *row), key=self.excess)
        if not self.excess(picks):
            return self.stands_for(picks)
        return next((other for other in islice(self.combinations(), SOUGHT) if self.plan(other) is not None), picks)

    def compiled(self, picks: Picks) -> Plan:
        """Return the plan at a place, compiled; only where there is one."""
        return self._compiled[picks]

    def stands_for(self, picks: Picks) -> Picks:
        """Return the place of the plan that is the same to every run: itself, where there is no earlier one."""
        return self.joined.get(picks, picks)

    def _make(self, picks: Picks) -> ChosenPlan | None:
        from simulation.construction import compile_plan
        from simulation.scenario import ScenarioError, vary

        options = [choice[number] for choice, number in zip(self.choices, picks, strict=True)]
        changes = (*self.always, *(change for option in options for change in option.changes))
        words = [option.words for option in options]
        try:
            varied = vary(self.scenario, changes) if changes else self.scenario
            for choice, option in enumerate(options):
                if option.spread is not None:
                    words[choice], spread = option.spread(varied)
                    changes = (*changes, *spread)
                    varied = vary(self.scenario, changes)
            if broken := self.limits.broken_by(varied):
                self.outside[picks] = broken
                return None
            compiled = compile_plan(varied)
        except ScenarioError as error:
            self.unsound[picks] = str(error.mistakes[0])
            return None
        name = ", ".join(filter(None, words)) or AS_WRITTEN_NAME
        as_written = tuple(choice[0].as_written for choice in self.choices)
        chosen = ChosenPlan(name, changes, varied, count_people(varied).total, tuple(words), as_written)
        return chosen if self._is_new(picks, chosen, compiled) else None

    def _is_new(self, picks: Picks, chosen: ChosenPlan, compiled: Plan) -> bool:
        """Return whether no earlier plan has the same runs with as few people; one that has more stays beside it."""
        kin = self._alike.setdefault((compiled.crews, compiled.forklifts, compiled.gangs, compiled.horizon), [])
        for other in kin:
            plan = self._plans[other]
            if self._compiled[other] == compiled and plan is not None and plan.people <= chosen.people:
                self.joined[picks] = other
                return False
        kin.append(picks)
        self._compiled[picks] = compiled
        return True


def sum_broken(broken: Sequence[Broken]) -> float:
    """Return what is too much, each thing as a part of what there is, added up."""
    return sum((each.has - each.most) / max(1.0, each.most) for each in broken)


def limit_loads(scenario: Scenario, limits: Limits) -> tuple[Change, ...]:
    """Return the change that keeps loads within their limit, where the scenario states none or a higher one."""
    from simulation.scenario import Change

    own = scenario.supply.per_day_limit
    if limits.loads_a_day is None or (own is not None and own <= limits.loads_a_day):
        return ()
    return (Change("supply.per_day_limit", str(limits.loads_a_day)),)


def read_choices(scenario: Scenario, texts: Sequence[str]) -> tuple[tuple[Option, ...], ...]:
    """Return what may be chosen as a planner writes it, each ``KEY=V1,V2,…`` or ``crews=1x48,2x24``.

    Raises
    ------
    ScenarioError
        If one cannot be read, or leads nowhere in the scenario.
    """
    from simulation.scenario import Mistake, ScenarioError, read_team, read_variation, vary

    choices = []
    for text in texts:
        key, _, values = text.partition("=")
        if key.strip().partition(".")[0] in NOT_CHOSEN:
            wrong = "is no part of a plan that may be better or worse"
            raise ScenarioError("choose", [Mistake(key.strip(), wrong, "leave it out; choose what people do, and with what")])
        if key.strip() == "crews":
            options = [Option(f"crews {team}", (team.instead(scenario),)) for team in map(read_team, values.split(","))]
        else:
            options = [Option(str(change), (change,)) for change in read_variation(text)]
        for option in options:
            for change in option.changes:
                if change.factor is not None:
                    raise ScenarioError(
                        "choose", [Mistake(change.address, f"{change.text} multiplies", "write the values themselves")]
                    )
            vary(scenario, option.changes)  # what leads nowhere, or is no value of its key, is refused before anything is tried
        choices.append((Option("", as_written=f"{key.strip()} as written"), *options))
    return tuple(choices)
