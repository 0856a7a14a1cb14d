"""The whole of what a planner writes, checked and frozen."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Literal, Self

from pydantic import Field, PrivateAttr, StrictInt

from simulation.scenario.tables.choice import Choose, Limits
from simulation.scenario.tables.consumables import Accessories, KeyStrips, Storage
from simulation.scenario.tables.flying import Flying, TemporaryEnd
from simulation.scenario.tables.ground import Area, Mat, Milestone, Site
from simulation.scenario.tables.heat import Cold, Heat
from simulation.scenario.tables.leg import Leg
from simulation.scenario.tables.people import Book, Crew, Laying, Shifts
from simulation.scenario.tables.rail_work import RailGang
from simulation.scenario.tables.repair import Damage, Repair
from simulation.scenario.tables.sky import Weather
from simulation.scenario.tables.soil import Roads, Soil
from simulation.scenario.tables.stops import Stops
from simulation.scenario.tables.supply import Forklifts, Grading, Supply
from simulation.scenario.tables.take_up import TakeUp, TakeUpMilestone
from simulation.scenario.tables.tasks import Gang, Task
from simulation.scenario.tables.used_mats import UsedMats
from simulation.scenario.types.moment import Moment
from simulation.scenario.types.quantities.measures import Measures, System, measures_named
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import MOST_BLOCKS, Horizon, Section, at_most, not_written, read_name, written
from simulation.scenario.types.texts.source import Source
from simulation.scenario.types.usual_range import Usual

if TYPE_CHECKING:
    from simulation.scenario.types.quantities.snapped import Snapped


#: The milestones of taking up where none is written.
UP, IN_YARD, AWAY = "the last row up", "the last pallet in the yard", "the last load out"


class Scenario(Section):
    """One construction: the field, the people, the machines, the supply and the sky.

    Nothing in here has a unit: lengths are feet, durations hours, speeds miles per hour, masses pounds.
    """

    title: Annotated[str, Reads(read_name)] = "untitled"
    """What the forecast is headed with. Default: the name of the file."""
    job: Literal["lay", "take up"] = "lay"
    """What is simulated: laying the field, or taking it up. A take-up begins with all of it laid, and reads no grading, supply of
    pallets, tasks and milestones of laying. Default: laying."""
    starts: Moment = datetime(2031, 4, 2, 6)
    """Local time of the start. Default: a morning in spring (planning value)."""
    seed: Annotated[StrictInt, Field(ge=0, lt=2**63)] = 1
    """Where every random stream begins; one seed gives the same numbers to the bit. Default: 1 (planning value)."""
    horizon: Annotated[Horizon, Usual("duration", "12 h", "1100 day")] = written("120 day")
    """A run that is not done by then is counted as unfinished. Planning value."""
    units: System | None = None
    """Units in which answers are told: feet (and pounds), or metric. Default: those of the area lengths, as they are written."""
    site: Site | None = None
    """Where the field lies. Default: unknown, so daylight is not considered."""
    mat: Mat = not_written()
    """The mat and its pallet. Default: see each key."""
    key_strips: KeyStrips = not_written()
    """The key strips. Default: see each key."""
    accessories: Accessories = not_written()
    """What is ordered beside mats. Default: see each key."""
    storage: Storage = not_written()
    """How pallets stand in the yard. Default: see each key."""
    area: Annotated[tuple[Area, ...], at_most(MOST_BLOCKS)] = Field(min_length=1)
    crew: Annotated[tuple[Crew, ...], at_most(MOST_BLOCKS)] = Field(min_length=1)
    laying: Laying = not_written()
    """The work of laying rows. Default: see each key."""
    rail_gang: RailGang = not_written()
    """Who sets guide rails, where an area has one. Default: see each key."""
    forklifts: Forklifts = not_written()
    """The forklifts. Default: see each key."""
    supply: Supply
    used_mats: UsedMats | None = None
    """In what state mats come that have lain before. Default: all are new."""
    grading: Grading = not_written()
    """Grading ahead of the laying edges. Default: all done, see each key."""
    shifts: Shifts = not_written()
    """Who works when. Default: two spans of daylight, see each key."""
    weather: Weather = not_written(model="none")
    """Default: none, dry throughout."""
    stops: Stops = not_written()
    """Which weather stops which kind of work. Default: what weather.rain_stops says."""
    heat: Heat | None = None
    """Rest in the heat. Default: heat is not considered."""
    cold: Cold | None = None
    """Wind chill. Default: cold is not considered."""
    soil: Soil | None = None
    """How the ground dries after rain. Default: in the fixed time of weather.drying, for grading alone."""
    roads: Roads | None = None
    """What rain does to the haul roads. Default: nothing."""
    gang: Annotated[tuple[Gang, ...], at_most(MOST_BLOCKS)] = ()
    """Who does tasks. Default: every task has a gang of its own."""
    task: Annotated[tuple[Task, ...], at_most(MOST_BLOCKS)] = ()
    """Work beside laying. Default: none."""
    flying: Flying = Field(default_factory=Flying)
    """Use of the field while it is laid. Default: none."""
    temporary_end: TemporaryEnd | None = None
    """What is made at an open laying edge so that the field can be used before it is whole. Default: nothing, no time is lost."""
    milestone: Annotated[tuple[Milestone, ...], at_most(MOST_BLOCKS)] = ()
    """What is forecast. Default: operational readiness, all areas."""
    repair: Repair = not_written()
    """The work of mending damaged mats once the field is in use; of a forecast, only that of taking up reads it, for rows and key
    strips. Default: see each key."""
    take_up: TakeUp = Field(default_factory=TakeUp)
    """The work of taking the field up again; a forecast reads it where `job` says so. Default: see each key."""
    damage: Damage | None = None
    """How often mats are damaged once the field is in use; no forecast reads it. Default: no season is looked at."""
    leg: Leg = not_written()
    """How mats come here that are taken up elsewhere, for `keystrip move`; no other question reads it. Default: see each key."""
    book: Book = not_written()
    """The handbook's labour method. Default: see each key."""
    limits: Limits = not_written()
    """What there is at most, for `keystrip plan`; no run depends on it. Default: see each key."""
    choose: Choose = not_written()
    """What may be chosen, for `keystrip plan`; no run depends on it. Default: see each key."""

    _source: Source = PrivateAttr(default_factory=Source)
    _told: tuple[System | None, bool] = PrivateAttr(default=(None, False))
    _snapped: "tuple[Snapped, ...]" = PrivateAttr(default=())

    @property
    def source(self) -> Source:
        """What it was read from."""
        return self._source

    def read_from(self, source: Source) -> Self:
        """Note what it was read from, and return it."""
        self._source = source
        return self

    @property
    def measures(self) -> Measures:
        """The units in which its quantities are told."""
        asked, metric = self._told
        own = self.units if isinstance(self.units, str) else None
        return measures_named(asked or own or ("metric" if metric else "feet"))

    def told_in(self, asked: System | None, metric: bool) -> Self:
        """Note in which units answers are asked for, whatever it says, and whether its area lengths are metric; return it."""
        self._told = (asked, metric)
        return self

    @property
    def snapped(self) -> "Sequence[Snapped]":
        """The lengths that were read as whole numbers of their module."""
        return self._snapped

    def read_as(self, snapped: "tuple[Snapped, ...]") -> Self:
        """Note which lengths were read as whole numbers of their module, and return it."""
        self._snapped = snapped
        return self

    @property
    def flown(self) -> str | None:
        """The area that is closed to work while it is flown from; None where nobody flies."""
        milestone = next((milestone for milestone in self.milestones if milestone.name == self.flying.since), None)
        return None if milestone is None else self.flying.area or next(iter(milestone.where), None)

    def temporary_ends_of(self, milestone: Milestone) -> tuple[str, ...]:
        """Return the areas whose open laying edges have a temporary end when a milestone is reached."""
        end = self.temporary_end
        if end is None or self.takes_up or (end.milestones is not None and milestone.name not in end.milestones):
            return ()
        return self.used_at(milestone)

    def used_at(self, milestone: Milestone) -> tuple[str, ...]:
        """Return the areas that may be used from a milestone on before they are whole."""
        flown = self.flown if milestone.name == self.flying.since else None
        usable = milestone.usable.area if milestone.usable else None
        return tuple(dict.fromkeys(name for name in (usable, flown) if name is not None))

    @property
    def makes_ends(self) -> bool:
        """Whether it makes temporary ends at all."""
        return any(self.temporary_ends_of(milestone) for milestone in self.milestones)

    @property
    def takes_up(self) -> bool:
        """Whether its job is to take the field up."""
        return self.job == "take up"

    def without_laying(self) -> Self:
        """Return it without what is done beside laying alone: tasks, their gangs, use of the field while it is laid."""
        return self.model_copy(update={"task": (), "gang": (), "flying": Flying(), "temporary_end": None})

    @property
    def leaves(self) -> bool:
        """Whether anything brings pallets away from a field that is taken up."""
        return bool(self.supply.trucks or self.supply.flights or self.take_up.shipments)

    @property
    def take_up_milestones(self) -> tuple[TakeUpMilestone, ...]:
        """The milestones of taking up, with their areas, the default ones where none is written; exactly one is `ready`."""
        everything = self.take_up.areas or tuple(area.name for area in self.area)
        written = self.take_up.milestone
        if not written:
            last = "away" if self.leaves else "in yard"
            names = {"up": UP, "in yard": IN_YARD, "away": AWAY}
            written = tuple(
                TakeUpMilestone(name=name, when=when, ready=when == last)
                for when, name in names.items()
                if when != "away" or self.leaves
            )
        alone = {"ready": True} if len(written) == 1 else {}
        return tuple(milestone.model_copy(update={"areas": milestone.areas or everything, **alone}) for milestone in written)

    @property
    def milestones(self) -> tuple[Milestone, ...]:
        """The milestones of its job, the default ones where none is written; exactly one is `ready`."""
        if self.takes_up:
            return tuple(
                Milestone.model_validate(
                    {"name": milestone.name, "areas": milestone.areas, "ready": milestone.ready, "closing": "0 h"}
                )
                for milestone in self.take_up_milestones
            )
        if not self.milestone:
            everything = tuple(area.name for area in self.area)
            return (Milestone.model_validate({"name": "operational readiness", "areas": everything, "ready": True}),)
        if len(self.milestone) == 1:
            return (self.milestone[0].model_copy(update={"ready": True}),)
        return self.milestone
