"""What is said of a move: how long there is no field, which split of people and how much stock shorten it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.questions.forecast.yard_room import say_yard_room
from simulation.stats.paired_difference import FEWEST
from simulation.stats.quantiles import estimate
from simulation.study.calendar import day, make_calendar

if TYPE_CHECKING:
    from simulation.questions.move.study import Array, MoveResult, MoveRow
    from simulation.stats.paired_difference import Difference

#: What a planner must not forget of this work, beside all other cautions.
CAUTIONS = (
    "Winching under load: nobody stands within reach of the cable or astride it; the winch is anchored and rated for the pull.",
    "Banding under tension: eye protection, and nobody in line with a band that is tightened or cut.",
    "Loads on the road, at sea and in the air are lashed by their carrier's rules; payload and axle loads are checked there.",
    "Lifting: enough people for each mat, gloves, no fingers below an edge; forklifts and people on foot are kept apart.",
)
#: Hours by which a change must be earlier to be worth a sentence: what a tenth of a day is. Planning value.
WORTH = 2.4


def middle(hours: Array) -> float:
    """Return the P50."""
    return estimate(hours.tolist(), 0.5).value


def in_four_of_five(hours: Array) -> float:
    """Return the P80."""
    return estimate(hours.tolist(), 0.8).value


def move_headline(result: MoveResult) -> str:
    """Return the answer in one sentence."""
    p50, p80 = middle(result.asked.without), in_four_of_five(result.asked.without)
    if math.isinf(p50):
        return "In half of the runs the second site is not open by its last day simulated: raise its horizon."
    ready = next(milestone.name for milestone in result.second.milestones if milestone.ready)
    text = f"There is no field for {wording.days(p50)} days (P50)"
    if math.isinf(p80):
        return f"{text}; in more than one run of five the second site is not done by its last day simulated."
    by = make_calendar(result.second).day_and_shift(p80 + result.asked.shift).day_alone
    asked = result.asked
    idle = f", {wording.days(asked.starts_later)} of them before the second site starts" if asked.waits_for_start else ""
    return f"{text}, {wording.days(p80)} in four runs of five{idle}: {ready} at the second site by {by}."


def move_lines(result: MoveResult) -> list[str]:
    """Return the sentences around the answer."""
    asked, leg = result.asked, result.second.leg
    starts = result.first.starts
    off = f"The first site closes when its take-up starts, {day(starts)}; its last pallet is off after {_days(asked.off)}"
    apart = start_words(result)
    loads = sum(len(run.way.loads) for run in asked.runs) / result.runs
    lines = [
        f"{off}, and {loads:.0f} loads of up to {wording.counted(leg.load, 'pallet')} go by {leg.by}.",
        *([apart] if apart else []),
        say_yard_room(asked.yard, "the yard of the first site"),
    ]
    full, half = (sum(run.way.mats()[kind] for run in asked.runs) / result.runs for kind in (0, 1))
    line = (
        f"{full:,.0f} full and {half:,.0f} half mats arrive on average; the second site takes {result.needs[0]:,} and "
        f"{result.needs[1]:,}, and has {wording.counted(result.stock, 'pallet')} of its own"
    )
    if asked.ordered:
        resupply = wording.days(result.second.supply.resupply)
        line += f": in {wording.percent(asked.ordered)} of runs more is ordered, which takes {resupply} days"
    lines.append(f"{line}.")
    if why := no_split_words(result):
        lines.append(why)
    if result.runs < FEWEST:
        few = f"Fewer than {FEWEST} runs do not say which split of people, or which stock, is better: raise --runs."
        return [*lines, few]
    split = split_words(result)
    return [*lines, *([split] if split else []), stock_words(result)]


def start_words(result: MoveResult) -> str:
    """Return what the start of the second site does to the days without a field; empty where both sites start together."""
    later, asked = result.asked.starts_later, result.asked
    if later == 0.0:
        return ""
    count = f"{wording.days(abs(later))} days {'after' if later > 0 else 'before'} the first site closes"
    line = f"Nothing is done at the second site before its own starts, {day(result.second.starts)}, {count}"
    if later < 0:
        return f"{line}: it lays its own stock from then."
    if asked.waits_for_start:
        sooner = "an earlier starts in the second file shortens the time without a field"
        return f"{line}; all loads are there before it (P50), so {sooner}."
    return f"{line}; loads that come before it wait."


def no_split_words(result: MoveResult) -> str:
    """Return why no other split of people was tried; empty where some were."""
    crews = result.second.leg.crews
    if result.splits:
        return ""
    if not crews:
        return "No other split of people is tried: with any, a crew would be too small to carry a mat."
    several = len(crews) > 1
    who = f"crew{'s' if several else ''} {' and '.join(crews)} {'come' if several else 'comes'}"
    return f"No other split of people is tried: {who} from the first site when it is up (leg.crews)."


def split_words(result: MoveResult) -> str:
    """Return what another split of people between the sites does; empty where none was tried."""
    if not result.splits:
        return ""
    better = [row for row in result.splits if _gains(result, row)]
    if not better:
        return f"People are split well between the sites: {_tried(result)} opens the second measurably sooner."
    best = min(better, key=lambda row: middle(row.without))
    return f"With {best.way.name} the second is open {gain_words(result, best)} ({best.way.keys})."


def stock_words(result: MoveResult) -> str:
    """Return how much stock at the second site shortens the time without a field."""
    gaining = [row for row in result.stocks if _gains(result, row)]
    if not result.stocks:
        return "The second site has pallets for all of its field: what is moved is spare."
    if not gaining:
        return "More pallets in stock at the second site gain nothing measurable."
    best = enough(result, gaining)
    line = f"With {best.way.name} the second is open {gain_words(result, best)} ({best.way.keys})"
    more = [row for row in result.stocks if _pallets(row) > _pallets(best)]
    return f"{line}; more than that gains less than half a day." if more else f"{line}."


def enough(result: MoveResult, gaining: list[MoveRow]) -> MoveRow:
    """Return the least stock that is within half a day of the quickest that was tried."""
    quickest = min(middle(row.without) for row in result.stocks)
    return next((row for row in gaining if middle(row.without) <= quickest + 12.0), gaining[-1])


def gain_words(result: MoveResult, row: MoveRow) -> str:
    """Return how much sooner a way is, with its interval."""
    change = result.against(row)
    assert change.value is not None and change.low is not None and change.high is not None
    low, high = sorted((-change.high / 24, -change.low / 24))
    return f"{-change.value / 24:.1f} days sooner (P50, 95 % interval {low:.1f} to {high:.1f})"


def change_cell(change: Difference, itself: bool) -> str:
    """Return a change in days with its interval."""
    if itself:
        return "–"
    if change.value is None:
        return "not known"
    if change.low is None or change.high is None:
        return f"({round(change.value / 24, 1) + 0.0:+.1f})"
    value, low, high = (round(hours / 24, 1) + 0.0 for hours in (change.value, change.low, change.high))  # no minus before zero
    return f"{value:+.1f} ({low:+.1f} to {high:+.1f})"


def picture_title(result: MoveResult) -> str:
    """Return what the picture shows."""
    p50 = middle(result.asked.without)
    if math.isinf(p50):
        return "The second field is not open by the last day simulated"
    return f"{wording.days(p50)} days without a field while its mats are on the move"


def _gains(result: MoveResult, row: MoveRow) -> bool:
    """Return whether a way is measurably and by enough earlier; from few runs nobody can say so."""
    change = result.against(row)
    return (
        result.runs >= FEWEST
        and change.value is not None
        and change.high is not None
        and change.high < 0.0
        and change.value <= -WORTH
    )


def _tried(result: MoveResult) -> str:
    """Return which splits were tried, the largest of either direction."""
    last: dict[str, str] = {}
    for row in result.splits:
        count, _, way, *_ = row.way.name.split()
        last[way] = count
    said = [f"up to {count} people {way}" for way, count in last.items()]
    return f"{'neither ' if len(said) > 1 else 'no number '}{' nor '.join(said)} at the first site"


def _pallets(row: MoveRow) -> int:
    return row.way.second.supply.on_hand


def _days(hours: Array) -> str:
    return f"{wording.days(middle(hours))} days (P80 {wording.days(in_four_of_five(hours))})"
