"""What can be seen at work that says something of the levels? Rows laid, hours spent, things found among many."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class RowsDone:
    """Rows that a crew laid at one laying edge in one shift.

    Attributes
    ----------
    edge : int
        Index of the laying edge in the plan.
    first, upto : int
        The rows, in laying order, from `first` up to, not including, `upto`; none where both are the same.
    crew : int
        Index of the crew in the plan, by whose clock the hours go.
    people : int
        Who laid, overhead included.
    start, end : float
        The shift, in hours since the start.
    hours : float, optional
        Hours at work at this laying edge: rows, checks, key strips, re-seating, preparing it; no waits, stops and ways. Default:
        those of the shift less `lost`; where that is not known either, those that drawn weather leaves of the shift.
    lost : float, optional
        Hours of the shift that were lost, to whatever.
    waited : bool
        Whether the laying edge may have waited longer than is written: the hours are then only known not to be more.
    rows_before : int
        Rows that the crew had laid before, anywhere: it has learned from them, where crews learn.
    part : float
        Share of the shift's hours, where nobody wrote how many it was at this laying edge.
    """

    edge: int
    first: int
    upto: int
    crew: int
    people: int
    start: float
    end: float
    hours: float | None = None
    lost: float | None = None
    waited: bool = False
    rows_before: int = 0
    part: float = 1.0


@dataclass(frozen=True)
class Spent:
    """Time that something took: a haul, or rounds of several such parts.

    Attributes
    ----------
    keys : tuple of str
        The levels of the parts of a round.
    count : int
        Rounds.
    hours : float
        All of them together, at work.
    at_most : bool
        Whether the hours may hold waits too.
    side_by_side : int
        So many go round at the same time, and that many rounds may be part done.
    efficiency : str, optional
        The level that all parts are divided by.
    besides : float
        Hours that each round takes besides, on average.
    unsure : float
        Standard deviation of what is not known of the hours, as a share of them.
    """

    keys: tuple[str, ...]
    count: int
    hours: float
    at_most: bool = False
    side_by_side: int = 0
    efficiency: str | None = None
    besides: float = 0.0
    unsure: float = 0.0


@dataclass(frozen=True)
class ShareSeen:
    """So many of many: mats rejected of those laid, people away of those who should be there; `key` is the level of the share."""

    key: str
    hits: int
    of: int


Observed = RowsDone | Spent | ShareSeen
