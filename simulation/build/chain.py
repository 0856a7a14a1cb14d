"""Why did the build take as long as it did? The chain of steps that drove a milestone, and its hours by cause.

Every step knows the step whose end let it start, so walking back from a milestone gives a chain without gaps to hour zero. Each
hour of it belongs to one cause: the work of that step, or what its clock lost in the meantime. The causes sum to the milestone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from simulation.build.steps import ACTOR, BECAUSE, END, KIND, KINDS, START, WORK, Step
from simulation.conditions import WorkClock
from simulation.conditions.calendar import DARK, OFF_SHIFT
from simulation.conditions.clock import MUD, RAIN

#: What a clock loses hours to, in the order of precedence.
LOSSES = (OFF_SHIFT, DARK, RAIN, MUD)
#: Everything that an hour of a chain can be charged to.
CAUSES = (*(kind.name for kind in KINDS[1:-2]), *LOSSES)
_CLOCKS = tuple(kind.clock for kind in KINDS)
_NAMES = tuple(kind.name for kind in KINDS)
#: Hours by which a step's elapsed time may differ from its work before something is looked for that it lost.
_SLACK = 1e-9


def chain_back(step: Step) -> Iterator[Step]:
    """Yield the steps that drove `step`, itself first, back to the first one that started at hour zero."""
    link: Step | None = step
    while link is not None:
        yield link
        link = link[BECAUSE]


def hours_by_cause(step: Step, clocks: dict[str, WorkClock]) -> dict[str, float]:
    """Return the hours of the chain that drove `step`, by cause.

    Parameters
    ----------
    step : Step
        The last step of a milestone.
    clocks : dict of str to WorkClock

    Returns
    -------
    dict of str to float
        Keys among `CAUSES`; the values sum to the step's end.
    """
    charged: dict[str, float] = {}
    for link in chain_back(step):
        spent, name = link[END] - link[START], _NAMES[link[KIND]]
        if spent - link[WORK] > _SLACK:
            for cause, hours in losses(link, clocks).items():
                charged[cause] = charged.get(cause, 0.0) + hours
                spent -= hours
        charged[name] = charged.get(name, 0.0) + spent
    charged.pop(_NAMES[0], None)
    return charged


def losses(step: Step, clocks: dict[str, WorkClock]) -> dict[str, float]:
    """Return the hours between a step's start and end that its clock lost, by cause."""
    clock = _CLOCKS[step[KIND]]
    return {} if clock is None or step[END] - step[START] == step[WORK] else clocks[clock].losses(step[START], step[END])


def tied_share(step: Step, trace: Iterable[Step]) -> float:
    """Return the share of a chain's hours that another chain could claim as well.

    Where an actor's own last step and the step that it waited for end at the same moment, either could be called the cause; the
    fixed order of actors chose. The hours of such a step are counted.
    """
    ended: set[tuple[int, float]] = {(one[ACTOR], one[END]) for one in trace}
    tied = 0.0
    for link in chain_back(step):
        because = link[BECAUSE]
        if because is not None and because[ACTOR] != link[ACTOR] and (link[ACTOR], link[START]) in ended:
            tied += because[END] - because[START]
    return tied / step[END] if step[END] > 0 else 0.0
