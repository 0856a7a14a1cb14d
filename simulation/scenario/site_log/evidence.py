"""What does a site log say about how fast things go? Plain rows, each with the line it stands in; nobody's opinion of them.

All hours are hours since the scenario's start, on the calendar; what of them counts as work the clocks say.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class RowsLaid:
    """Rows that were laid at one laying edge in one shift, as one line of the log says.

    Attributes
    ----------
    line : int
        Of the file, counted from 1.
    start, end : float
        The shift, or as much of it as the line covers.
    crew : int or None
        Its number in ``scenario.crew``; None where the log does not say who laid, and several could have.
    people : int or None
        Who were there; None where the log does not say.
    area, side : str
        Name of the area; ``"low"`` or ``"high"``, empty where the area has one laying edge.
    edge : int
        The laying edge: its number in ``Plan.edges``.
    first, upto : int
        Its rows from `first` up to, not including, `upto`, in the order in which it lays them.
    worked : float or None
        Hours that they worked there; None where the log does not say, then the clock of the shift does.
    lost : tuple of (str, float)
        To what, and how many hours of the shift.
    key_strips : int
        Key strips set before these rows.
    rejected : int or None
        Mats found damaged in them; None where the log does not say.
    """

    line: int
    start: float
    end: float
    crew: int | None
    people: int | None
    area: str
    side: str
    edge: int
    first: int
    upto: int
    worked: float | None
    lost: tuple[tuple[str, float], ...]
    key_strips: int
    rejected: int | None


@dataclass(frozen=True)
class PalletsCame:
    """Pallets that came to the yard in one shift; `flown` of them by air."""

    line: int
    start: float
    end: float
    pallets: int
    flown: int


@dataclass(frozen=True)
class ForkliftsUp:
    """How many forklifts were in order in one shift."""

    line: int
    start: float
    end: float
    up: int


@dataclass(frozen=True)
class RainedHours:
    """Hours of one shift that somebody lost to rain, as the log says; 0 is a shift of which it says that it was dry."""

    line: int
    start: float
    end: float
    hours: float


@dataclass(frozen=True)
class Evidence:
    """All that a log says about how fast things go, up to a moment.

    Attributes
    ----------
    at : float
        The moment, in hours since the start.
    rows : tuple of RowsLaid
        In the order of their shifts; the rows of one laying edge follow each other without gaps.
    came : tuple of PalletsCame
    forklifts : tuple of ForkliftsUp
    rained : tuple of RainedHours
    """

    at: float
    rows: tuple[RowsLaid, ...] = ()
    came: tuple[PalletsCame, ...] = ()
    forklifts: tuple[ForkliftsUp, ...] = ()
    rained: tuple[RainedHours, ...] = ()
