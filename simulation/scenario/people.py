"""Who lays the mats, how fast they work, and when they are on shift."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, StrictBool, StrictInt, model_validator

from simulation.scenario.section import (
    Count,
    Length,
    Name,
    Period,
    Section,
    Share,
    Speed,
    planned,
    quantity,
)
from simulation.scenario.uncertain import UncertainDuration, UncertainShare
from simulation.scenario.units import complaint


class Crew(Section):
    """One crew: it takes the first open face of its areas, in their order."""

    name: Name
    people: Count
    """Everybody in it, overhead included."""
    areas: tuple[Name, ...] = Field(min_length=1)
    """The areas it works on, in this order."""
    second_crew: Literal["elsewhere", "relief", "merge"] = "elsewhere"
    """What it does where every open face of an area has a crew: go on to its next area, take turns with the crew there
    (`relief`), or put both crews' people on that face (`merge`)."""


class Laying(Section):
    """The work of laying rows, and its row-time law.

    A row takes the longest of four: carrying and placing by the teams, placing by as many rows as can be in work at once, locking by
    the lockers, opening pallets by the openers; divided by the efficiency.
    """

    overhead: Count = 3
    """People of a crew who neither carry nor lock: leader and line, and the openers. Planning value."""
    openers: Count = 2
    """Those of the overhead who open pallets and clear dunnage. Planning value."""
    team_size: Count = 2
    """People who carry one mat. NAVEDTRA 14251 ch. 11: two-person teams. Lifting limits apply: see the cautions."""
    pick_up: UncertainDuration = planned(p10="15 s", p90="35 s", scatter=0.3, shared_by="crews")
    """Taking one mat up from the pallet. Planning value."""
    walk: Speed = quantity("2 mph")
    """Walking speed with a mat over graded ground; the way back counts the same. Planning value."""
    staged_every: Length = quantity("50 ft")
    """Pallets are set down this far apart ahead of the face; the mean walk is half of it and a quarter of the width. Planning value."""
    open_pallet: UncertainDuration = planned(mean="2.5 min")
    """One opener's time to cut banding and clear dunnage of one pallet, divided among the openers. Planning value."""
    place: UncertainDuration = planned(p10="30 s", p90="60 s", scatter=0.3, shared_by="crews")
    """Engaging, rotating down and seating one mat. Planning value."""
    lock: UncertainDuration = planned(mean="20 s")
    """Setting one locking bar. Planning value."""
    rows_in_work: Count = 3
    """Rows of one face that can be in work at once: the limit that makes more people on one face pay less. Planning value."""
    key_strip: UncertainDuration = planned(p10="10 min", p90="25 min", scatter=0.2)
    """Setting a key strip. Planning value."""
    starter_key_strip: UncertainDuration = planned(p10="30 min", p90="75 min")
    """Setting out and setting the starter key strip of a centre-out area. Planning value."""
    connect: UncertainDuration = planned(p10="30 min", p90="90 min")
    """Setting the connectors of one junction. Planning value."""
    efficiency: UncertainShare = planned(low=0.50, mode=0.67, high=0.85)
    """Productive share of an hour on shift; excludes every wait that is simulated. Planning value."""
    ramp_row: Annotated[float, Field(ge=1)] = 1.5
    """A row inside an end ramp takes this many times an ordinary row. Planning value."""
    learning: Annotated[float, Field(gt=0.5, le=1)] = 1.0
    """Unit learning curve: time of row 2n over row n. Default: none."""
    learning_reference: Count = 50
    """The crew's row at which the stated times hold. Planning value."""
    learning_floor: Annotated[float, Field(gt=0, le=1)] = 0.7
    """Shortest row time that learning can reach, as a share of the stated one. Planning value."""
    check_every: Count = 10
    """Rows between alignment checks. Planning value."""
    check: UncertainDuration = planned(mean="3 min")
    """One alignment check. Planning value."""
    skew_found: Share = 0.02
    """Chance that a check finds the rows since the last one skewed. Planning value."""
    reseat: UncertainDuration = planned(mean="4 min")
    """Re-seating one row. Planning value."""
    damaged_mats: UncertainShare = planned(low=0.0, mode=0.01, high=0.03)
    """Share of mats rejected when they are laid. Around the 72 in 146,000 sq ft (1.2 %) of service news 2014."""
    relief_turn: Period = quantity("30 min")
    """How long a crew lays before the crew that relieves it takes over. Official service history of 1965, p. 40."""

    @model_validator(mode="after")
    def _consistent(self) -> Self:
        if self.openers > self.overhead:
            raise complaint("openers are more than the overhead they belong to", f"write openers ≤ {self.overhead}")
        return self


def _read_spans(value: object) -> object:
    """Turn ``"06:00-12:00"`` texts into hours of the day; a span that ends at or before its start runs past midnight."""
    if isinstance(value, list | tuple) and all(isinstance(span, str) for span in value):
        return tuple(_read_span(str(span)) for span in value)
    if isinstance(value, tuple):
        return value
    raise complaint(f"{value!r} is not a list of hours", 'write hours = ["06:00-12:00", "13:00-18:00"]')


def _read_span(text: str) -> tuple[float, float]:
    try:
        start, end = (_hour_of_day(part) for part in text.split("-"))
    except ValueError:
        raise complaint(f'"{text}" is not a span of hours', 'write it as "06:00-12:00"') from None
    return (start, end) if start < end else (start, end + 24.0)


def _hour_of_day(text: str) -> float:
    hours, minutes = text.strip().split(":")
    value = int(hours) + int(minutes) / 60
    if not (0 <= value <= 24 and 0 <= int(minutes) < 60):
        raise ValueError(text)
    return value


Spans = Annotated[tuple[tuple[float, float], ...], BeforeValidator(_read_spans), Field(min_length=1)]


class Shift(Section):
    """When a kind of work is on shift."""

    hours: Spans = Field(default=("06:00-12:00", "13:00-18:00"))
    """Spans of local time, every day. Planning value."""
    lighting: StrictBool = False
    """Whether work goes on in the dark under lights. Default: no."""

    @model_validator(mode="after")
    def _apart(self) -> Self:
        spans = sorted(self.hours)
        pairs = [*zip(spans, spans[1:], strict=False), (spans[-1], (spans[0][0] + 24, spans[0][1] + 24))]
        if any(before[1] > after[0] + 1e-9 for before, after in pairs):
            raise complaint("two spans of hours overlap", "write spans that follow each other")
        return self


class Shifts(Section):
    """The shifts of everybody, and of those kinds of work that keep their own."""

    all: Shift = Field(default_factory=Shift)
    """Whoever has none of their own."""
    laying: Shift | None = None
    """Crews, checks and closing work."""
    forklift: Shift | None = None
    """Forklifts and their repair."""
    haul: Shift | None = None
    """Trucks."""
    grading: Shift | None = None
    """Grading and trenches."""

    def of(self, kind: str) -> Shift:
        """Return the shift of one kind of work."""
        return getattr(self, kind) or self.all


Score = Annotated[StrictInt, Field(ge=1, le=100)]


class Book(Section):
    """The handbook labour method (NAVEDTRA 14045), offered beside the simulation as a yardstick."""

    hours_per_1000_sqft: Annotated[float, Field(gt=0)] = 33.0
    """Person-hours to surface 1,000 sq ft: 146,000 sq ft in seven 10-hour days by 69 people (service news 2014; day assumed)."""
    efficiency: Score = 67
    """Production efficiency, percent: the mean of the method's eight scores; 67 is its average case."""
    availability: Annotated[float, Field(gt=0, le=1)] = 0.75
    """Share of a crew that is at work on a day. The method's worked example."""
    net_hours: Annotated[float, Field(gt=0, le=24)] = 7.5
    """Productive hours of a day. The method's worked example: 0.9375 of eight."""
