"""Why did the build take as long as it did? The chain of steps that drove a milestone, and its hours by cause.

Every step knows the step whose end let it start, so walking back from a milestone gives a chain without gaps to hour zero. Each
hour of it belongs to one cause: the work of that step, or what its clock lost in the meantime. The causes sum to the milestone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from simulation.build.steps import ACTOR, BECAUSE, END, KIND, KINDS, START, WORK, Step
from simulation.conditions import Clocks, WorkClock
from simulation.conditions.calendar import DARK, FATIGUE, OFF_SHIFT
from simulation.conditions.limits import COLD, HEAT, LIGHTNING, MUD, RAIN, WIND

#: What a clock loses hours to, in the order of precedence.
LOSSES = (OFF_SHIFT, DARK, FATIGUE, LIGHTNING, RAIN, WIND, MUD, HEAT, COLD)
#: Everything that an hour of a chain can be charged to.
CAUSES = (*(kind.name for kind in KINDS[1:-2]), *LOSSES)
#: The parts of the time to a milestone that a record tells apart: what held up a build at first is not what held it up at last.
THIRDS = ("early", "middle", "late")
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
    return _charged(step, clocks, ())[0]


def hours_by_third(step: Step, clocks: dict[str, WorkClock]) -> tuple[dict[str, float], ...]:
    """Return the hours of the chain that drove `step`, by cause, of each third of the time to its end.

    Returns
    -------
    tuple of dict
        One for each of `THIRDS`, as from `hours_by_cause`; the values of each sum to a third of the step's end. A step that goes
        on from one third into the next is split there, its losses by when its clock lost them.
    """
    return tuple(_charged(step, clocks, (step[END] / 3.0, 2.0 * step[END] / 3.0)))


def losses(step: Step, clocks: dict[str, WorkClock]) -> dict[str, float]:
    """Return the hours between a step's start and end that its clock lost, by cause."""
    clock = None if step[END] - step[START] == step[WORK] else clock_of(step, clocks)
    return {} if clock is None else clock.losses(step[START], step[END])


def clock_of(step: Step, clocks: dict[str, WorkClock]) -> WorkClock | None:
    """Return the clock that a step went by: that of its kind, or one of its own."""
    own = clocks.own.get(id(step)) if isinstance(clocks, Clocks) else None
    name = _CLOCKS[step[KIND]]
    return own if own is not None or name is None else clocks[name]


def _charged(step: Step, clocks: dict[str, WorkClock], borders: tuple[float, ...]) -> list[dict[str, float]]:
    """Return the hours of the chain by cause, up to the first of the rising `borders`, from there to the next, and so on."""
    parts = [_Part(since) for since in (0.0, *borders)]
    ahead = parts.copy()
    part = ahead.pop()
    link: Step | None = step
    while link is not None:
        start, end, because, work, kind, _, _, _ = link
        if start >= part.since and end - start - work <= _SLACK:
            part.work[kind] += end - start
        else:
            clock = clock_of(link, clocks) if end - start - work > _SLACK else None
            while start < part.since:
                if end > part.since:
                    part.charge(kind, part.since, end, clock)
                    end = part.since
                part = ahead.pop()
            part.charge(kind, start, end, clock)
        link = because
    return [part.by_cause() for part in parts]


class _Part:
    """The hours of a chain from one moment on, by kind of work and by what clocks lost hours to."""

    def __init__(self, since: float) -> None:
        self.since = since
        self.work = [0.0] * len(KINDS)
        self.lost: dict[str, float] = {}

    def charge(self, kind: int, start: float, end: float, clock: WorkClock | None) -> None:
        """Charge what lies of a step between two moments: what `clock` lost to the causes of that, the rest to its work."""
        spent = end - start
        if clock is not None:
            for cause, hours in clock.losses(start, end).items():
                self.lost[cause] = self.lost.get(cause, 0.0) + hours
                spent -= hours
        self.work[kind] += spent

    def by_cause(self) -> dict[str, float]:
        """Return the hours that were charged by cause."""
        return {name: hours for name, hours in zip(_NAMES, self.work, strict=True) if hours} | self.lost


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
