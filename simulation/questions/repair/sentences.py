"""What is said of a repair: which way is quicker, for how long the strip is closed, from what size on it is the other."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.words import wording
from simulation.questions.repair.study import middle, quantile
from simulation.study.calendar import day, make_calendar

if TYPE_CHECKING:
    from simulation.questions.repair.study import Array, RepairResult
    from simulation.study.damage.damage_stay import SeasonResult

#: What a planner must not forget of this work, beside all other cautions.
CAUTIONS = (
    "Cutting metal: eye, ear and hand protection, a fire watch, no fuel near; hot edges are sharp.",
    "Winching under load: nobody stands within reach of the cable or astride it; the winch is anchored and rated for the pull.",
    "Lifting pieces and mats: enough people for the mass, gloves, and no fingers below an edge.",
)


def conclude(result: RepairResult) -> str:
    """Return the answer in one sentence: which way, how long, and what the other takes."""
    asked, best = result.asked, result.asked.best
    what = asked_words(result) if result.by_crater else wording.counted(len(asked.mats), "damaged mat")
    name, mats = result.location.area.name, "the mats over it" if result.by_crater else what
    cut = f"{_hours(asked.cut_out)} (P80 {_tenths(quantile(asked.cut_out, 0.8).value)})"
    start = f"For {what}, cut" if result.by_crater else "Cut"
    if best is None:
        return f"{start} {mats} out: {name} is closed for {cut}; no key strip lies where it could be opened."
    opened = f"{_hours(asked.opened[best])} (P80 {_tenths(quantile(asked.opened[best], 0.8).value)})"
    strip = f"the key strip at {strip_station(result, best)}"
    if _either(result):
        return f"For {what} either way is about as quick: cutting out closes {name} for {cut}, opening at {strip} for {opened}."
    if asked.opening_wins:
        return f"For {what}, open {name} at {strip}: it is closed for {opened}; cutting mats out takes {cut}."
    return f"{start} {mats} out: {name} is closed for {cut}; opening at {strip} takes {opened}."


def picture_title(result: RepairResult) -> str:
    """Return the answer as short as the title of a picture."""
    asked, best, what = result.asked, result.asked.best, asked_words(result)
    cut = _tenths(middle(asked.cut_out))
    if best is None:
        return f"{wording.capitalised(what)}: cut out, closed {cut} h; nothing can be opened"
    opened = _tenths(middle(asked.opened[best]))
    if _either(result):
        return f"{wording.capitalised(what)}: either way is about as quick, {cut} h or {opened} h"
    if asked.opening_wins:
        return f"{wording.capitalised(what)}: open at a key strip, closed {opened} h and not {cut} h"
    return f"{wording.capitalised(what)}: cut out, closed {cut} h and not {opened} h"


def _either(result: RepairResult) -> bool:
    """Return whether the runs cannot tell which way is quicker."""
    chance = result.opening_quicker
    return chance is not None and chance.low <= 0.5 <= chance.high


def repair_lines(result: RepairResult) -> list[str]:
    """Return the sentences around the answer."""
    asked = result.asked
    full = sum(mat.full for mat in asked.mats)
    half = len(asked.mats) - full
    rows = wording.counted(asked.rows, "row")
    ground = f" {result.scenario.measures.area.rounded(asked.ground)} of ground are mended first." if asked.ground else ""
    lines = [f"Damaged: {full} full and {half} half mats in {rows} around {at_words(result)}.{ground}", switch_words(result)]
    crew = result.crew
    if crew is not None and crew.others:
        others = " and ".join(result.scenario.crew[number].name for number in crew.others)
        lines.append(
            f"Crew {crew.name} hands it over at the end of its hours to {others}, and takes it back; its people set the pace."
        )
    if len(asked.ways) == 2:
        against, along = (middle(hours) for hours in asked.opened)
        counts = [len(way.rows) for way in asked.ways]
        lines.append(
            f"Against the direction of assembly {wording.counted(counts[0], 'row')} are opened and the strip is closed for "
            f"{_tenths(against)} hours; along it {counts[1]} and {_tenths(along)} hours (P50)."
        )
    if result.location.area.guide_rail:
        lines.append(
            "The guide rail is taken to stay: what it costs to free rows from it, or to set a section anew, is not counted."
        )
    if result.season is not None:
        lines.append(season_words(result.season))
    return lines


def switch_words(result: RepairResult) -> str:
    """Return from what size of damage on opening is quicker."""
    last = result.cases[-1].size
    if result.asked.best is None:
        return "Without a key strip on either side in its own laying edge there is nothing to open."
    if result.switch is None and result.opened_sizes:
        few = " and ".join(_span(result, low, high) for low, high in result.opened_sizes)
        return f"Opening at a key strip is quicker here for {few} alone; looked at was up to {_size(result, last)} (P50)."
    if result.switch is None:
        return f"Cutting out is quicker for every size looked at, up to {_size(result, last)}."
    if result.switch <= result.cases[0].size:
        return f"Opening is quicker for every size looked at, up to {_size(result, last)}."
    before = result.opened_sizes[:-1]
    if not before:
        return f"From {_size(result, result.switch)} on opening at a key strip is quicker here (P50)."
    few = " and ".join(_span(result, low, high) for low, high in before)
    return f"Opening at a key strip is quicker here for {few}, and from {_size(result, result.switch)} on (P50)."


def season_words(season: SeasonResult) -> str:
    """Return what a season of damage costs in a month."""
    closed, mats = season.a_month(season.closed), season.a_month(season.mats)
    hours = (
        "repairs keep the shifts of the area's first crew"
        if season.by_shifts
        else "each repair goes on until it is done, whatever the hour"
    )
    return (
        f"Over a stay of {season.hours / 24:.0f} days {season.area} is closed for {closed.mean():.1f} hours a month on average "
        f"(P80 {_tenths(quantile(closed, 0.8).value)}) and takes {mats.mean():.1f} mats a month; "
        f"{hours}."
    )


def asked_words(result: RepairResult) -> str:
    """Return the damage asked about in a few words."""
    if result.by_crater:
        return f"a crater of {result.scenario.measures.length.text(result.asked.size)}"
    return wording.counted(len(result.asked.mats), "mat")


def at_words(result: RepairResult) -> str:
    """Return where the damage is."""
    length = result.scenario.measures.length
    return f"{length.text(result.location.station)} on {result.location.area.name}"


def hours_kept(result: RepairResult) -> str:
    """Return which hours a repair is worked in, and so counts."""
    if result.begin is None:
        return "worked through whatever the hour"
    crew, calendar = result.crew, make_calendar(result.scenario)
    assert crew is not None
    closed, comes = calendar.moment(result.begin), crew.at_work
    closing = f"closed {day(closed)} {closed:%H:%M}"
    if comes <= result.begin:
        return f"{closing}, begun by crew {crew.name}, at work then, and mended on shift"
    if math.isinf(comes):
        return f"{closing}, with nobody at work after it"
    begun = calendar.moment(comes)
    when = f"{begun:%H:%M}" if begun.date() == closed.date() else f"{day(begun)} {begun:%H:%M}"
    return f"{closing}, nobody at work then; begun by crew {crew.name}, {when}, and mended on shift"


def strip_station(result: RepairResult, way: int) -> str:
    """Return where the key strip stands from which a way opens."""
    return result.scenario.measures.length.rounded(result.asked.ways[way].before * result.location.rows.depth)


def direction(along: bool) -> str:
    """Return how a way of opening goes."""
    return "along" if along else "against"


def _size(result: RepairResult, size: float) -> str:
    if result.by_crater:
        return f"a crater of {result.scenario.measures.length.text(size)}"
    return wording.counted(int(size), "mat")


def _span(result: RepairResult, low: float, high: float) -> str:
    """Return a span of sizes."""
    if low == high:
        return _size(result, low)
    if result.by_crater:
        return f"{_size(result, low)} to {result.scenario.measures.length.text(high)}"
    return f"{low:.0f} to {_size(result, high)}"


def _hours(hours: Array) -> str:
    return f"{_tenths(middle(hours))} hours"


def _tenths(hours: float) -> str:
    return wording.BEYOND if hours == float("inf") else f"{hours:,.1f}"
