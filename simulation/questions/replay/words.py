"""How is an hour of a run told in words? Clock, sky, and what everybody does, the same on the picture and on the page."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from datetime import timedelta

from simulation.construction.plan.steps import (
    DAILY_LIMIT,
    DRIVE_BACK,
    HAUL,
    HAUL_AWAY,
    KINDS,
    LATE_START,
    LOAD,
    OFF_WORK,
    REPAIR,
    TASK,
    UNLOAD_AWAY,
    WAY_BACK,
)
from simulation.present.words import wording
from simulation.questions.replay import activities as doings
from simulation.questions.replay.activities import Doing
from simulation.questions.replay.mats_vanish import FOR_A_LOAD
from simulation.questions.replay.places import crew_letters, gang_letter
from simulation.questions.replay.study import Frame, Replay
from simulation.questions.replay.words_of_take_up import is_waiting, state_up, stop_words, supply_up
from simulation.study.calendar import day

_BROKEN, _TASK = KINDS[REPAIR].name, KINDS[TASK].name
#: What is done, or waited for, as it is told of a person at it; {} is where.
_WORDS = {
    **{kind.name: kind.doing for kind in KINDS if kind.doing},
    doings.TOGETHER: "lays with another crew, {}",
    doings.TURN: "rests while another lays, {}",
    doings.EDGE_TO_OPEN: "waits for a laying edge to open",
    doings.DONE: "done",
    doings.JOB: "waits for a job",
}
#: What a truck does, in the order of its round.
_TRUCKS = {
    **{KINDS[kind].name: KINDS[kind].doing for kind in (LATE_START, LOAD, DAILY_LIMIT, HAUL)},
    doings.UNLOADED: "waiting at the yard",
    doings.BEING_UNLOADED: "being unloaded",
    KINDS[WAY_BACK].name: KINDS[WAY_BACK].doing,
    doings.JOB: "at the port",
    doings.DONE: "done",
    FOR_A_LOAD: "waiting for a load in the yard",
    **{KINDS[kind].name: KINDS[kind].doing for kind in (HAUL_AWAY, UNLOAD_AWAY, DRIVE_BACK)},
}
_ROUND = list(_TRUCKS)
#: What goes by a clock of the trucks or of the port, and stands still where it does.
_MOVING = tuple(KINDS[kind].name for kind in (LOAD, HAUL, WAY_BACK, HAUL_AWAY, UNLOAD_AWAY, DRIVE_BACK))
_RESTS = (doings.DONE, *(KINDS[kind].name for kind in (LATE_START, OFF_WORK)))


def clock_line(replay: Replay, hour: float) -> str:
    """Return day and local time, such as ``Day 4, Sat 5 Apr 2031, 10:00``."""
    moment = replay.calendar.moment(round(hour * 60.0) / 60.0)
    number = (moment.date() - replay.calendar.starts.date()).days + 1
    return f"Day {number}, {day(moment)}, {moment:%H:%M}"


def since(hour: float) -> str:
    """Return hours since the start in days, hours and minutes.

    Examples
    --------
    >>> since(76.0), since(0.25)
    ('3 d 4 h', '0 d 0 h 15 min')
    """
    minutes = round(hour * 60.0)
    days, left = divmod(minutes, 24 * 60)
    words = f"{days} d {left // 60} h"
    return f"{words} {left % 60} min" if left % 60 else words


def state_line(replay: Replay, frame: Frame) -> str:
    """Return whether rows are being laid, or what stops them."""
    if frame.hour >= replay.end:
        return "end of the run"
    if frame.night_until is not None:
        return f"{'day of rest: ' if frame.rest else ''}nobody on shift until {_again(replay, frame.night_until)}"
    if replay.scenario.takes_up:
        return state_up(frame)
    if all(doing.what == doings.DONE for doing in frame.doings if doing.kind == "crew"):
        if frame.closing_again is not None:
            return f"all is laid, final sweep, inspection and marking goes on {_again(replay, frame.closing_again)}"
        at_it = [doing for doing in frame.doings if doing.kind == "following" and doing.what not in (doings.DONE, doings.JOB)]
        under_way = [doing.name if doing.what == _TASK else doing.what for doing in at_it]
        under_way += ["final sweep, inspection and marking"] if frame.closing else []
        return ", ".join(["all is laid", *dict.fromkeys(under_way)])
    if frame.stopped:
        return f"laying {stop_words(frame.stopped)}"
    crews = [doing for doing in frame.doings if doing.kind == "crew" and not doing.stopped]
    if any(not is_waiting(crew) for crew in crews):
        return "laying on shift"
    for_what = list(dict.fromkeys(doing.what for doing in crews if doing.what.startswith(doings.WAITS)))
    return f"on shift, nobody lays: {' and '.join(for_what)}" if for_what else "on shift, nobody lays"


def _again(replay: Replay, hour: float) -> str:
    """Return when something goes on, day of the week and time."""
    return f"{replay.calendar.moment(hour) + timedelta(seconds=1):%a %H:%M}"


def sky_line(frame: Frame) -> str:
    """Return the weather, and what else of it and of the ground holds up some work."""
    return ", ".join(["rain" if frame.rain else "dry", *frame.held_up])


def actor_lines(replay: Replay, frame: Frame) -> list[tuple[str, str]]:
    """Return who does what: crews with the letter of their symbol, forklifts, grading gangs, and trucks together."""
    letters, whose = crew_letters(frame.doings), {task.name: task.whose for task in replay.scenario.task}
    lines: list[tuple[str, str]] = []
    for kind in ("crew", "forklift", "grading", "rail gang", "following"):
        for doing in (doing for doing in frame.doings if doing.kind == kind):
            does = _doing(replay, doing)
            if kind == "crew":
                lines.append((f"{letters[doing.name]}  crew {doing.name}", does + _why(frame, doing)))
            elif kind == "forklift":
                lines.append((f"{doing.name}  forklift", does))
            elif kind == "following" and doing.what not in (doings.DONE, doings.JOB):
                what, _, where = (doing.name, "", "") if doing.what == _TASK else doing.name.partition(", ")
                does = f"{_after_rows(doing, where)}, {whose[doing.name]}" if doing.what == _TASK else _after_rows(doing, where)
                lines.append((f"{gang_letter(doing)}  {what}", does))
            elif kind != "following" and doing.what != doings.DONE:
                name = f"grading {doing.name}" if kind == "grading" else kind
                lines.append((f"{gang_letter(doing)}  {name}", does))
    trucks = Counter((_ROUND.index(doing.what), _truck(frame, doing)) for doing in frame.doings if doing.kind == "truck")
    if trucks:
        rounds = ", ".join(f"{trucks[truck]} {truck[1]}" for truck in sorted(trucks))
        lines.append((wording.counted(trucks.total(), "truck"), rounds))
    return lines


def _truck(frame: Frame, doing: Doing) -> str:
    """Return what a truck does, or what stops it, or the forklifts that unload it."""
    stopped = doing.stopped if doing.what in _MOVING else ""
    if doing.what == doings.BEING_UNLOADED:
        stopped = _forklifts_stopped(frame)
        if stopped:
            return f"at the yard (unloading {stop_words(stopped)})"
    return f"{_TRUCKS[doing.what]} ({stop_words(stopped)})" if stopped else _TRUCKS[doing.what]


def _doing(replay: Replay, doing: Doing) -> str:
    where = replay.ground.edges[doing.edge].name if doing.edge >= 0 else ""
    if doing.stopped and doing.what not in _RESTS:
        return f"{stop_words(doing.stopped)}, {where}".removesuffix(", ")
    if doing.what.startswith(doings.WAITS) and doing.what not in _WORDS:
        return f"{doing.what}, {where}".removesuffix(", ")
    return _WORDS.get(doing.what, doing.what).format(where).removesuffix(", ")


def _after_rows(doing: Doing, where: str) -> str:
    """Return what is done at a ramp or at tie-downs, or what stops it."""
    if doing.stopped:
        return ", ".join(filter(None, (stop_words(doing.stopped), where)))
    return _WORDS.get(doing.what, f"{doing.what}, {{}}").format(where)


def _why(frame: Frame, doing: Doing) -> str:
    """Return why the mats that a crew on shift waits for do not come, where the hour shows it."""
    if doing.what not in doings.MATS or doing.stopped:
        return ""
    if not frame.stand.yard:
        return " (none in the yard)"
    stopped = _forklifts_stopped(frame)
    if not stopped:
        return ""
    return " (no forklift at work)" if stopped == _BROKEN else f" (forklifts {stop_words(stopped)})"


def _forklifts_stopped(frame: Frame) -> str:
    """Return what stops every forklift that is not broken, or that all are; empty where one goes."""
    there = [doing for doing in frame.doings if doing.kind == "forklift" and doing.what != _BROKEN]
    stopped = {"off shift" if doing.what == "forklift off work" else doing.stopped for doing in there}
    if not stopped:
        return _BROKEN
    return "" if "" in stopped else min(stopped)


def explain_supply(replay: Replay) -> list[str]:
    """Return what a count of the supply holds that its name does not say."""
    return [] if replay.scenario.takes_up else ["mats at the edges: with loose mats of opened pallets"]


def supply_lines(frame: Frame) -> list[tuple[str, str]]:
    """Return where the pallets and mats are."""
    stand = frame.stand
    if stand.lying:
        return supply_up(frame)
    mats = [sum(pair) for pair in zip(_counts(stand.full), _counts(stand.half), strict=True)]
    kept, at_port = stand.by_shipment, wording.counted(stand.at_port - (stand.by_shipment or 0), "pallet")
    return [
        ("in the yard", wording.counted(stand.yard, "pallet")),
        ("in loads here", wording.counted(stand.waiting, "pallet")),
        ("on the road", wording.counted(stand.on_road, "pallet")),
        ("at the port", at_port),
        *([] if kept is None else [("for shipments", wording.counted(kept, "pallet"))]),
        ("at the edges", f"{mats[1]:,} mats"),
        ("laid", f"{mats[0]:,} mats"),
        ("damaged", f"{mats[2]:,} mats"),
    ]


def edge_heads(replay: Replay) -> tuple[str, str, str]:
    """Return the heads of `edge_lines` but for the pallets."""
    return ("laid by", "rows that lie", "of all") if replay.scenario.takes_up else ("laying edge", "rows laid", "graded")


def _counts(mats: object) -> Iterable[int]:
    return (getattr(mats, name) for name in ("laid", "at_edges", "rejected"))


def edge_lines(replay: Replay, frame: Frame) -> list[tuple[str, str, str, str]]:
    """Return for each laying edge its name, rows laid of all, percent of rows graded, and pallets staged."""
    stand = frame.stand
    return [
        (
            edge.name,
            f"{stand.laid[number]:,} of {edge.rows:,}",
            f"{100 * (stand.laid if stand.lying else stand.graded)[number] // edge.rows} %",
            f"{stand.staged[number]}",
        )
        for number, edge in enumerate(replay.ground.edges)
    ]


def milestone_lines(replay: Replay, frame: Frame) -> list[str]:
    """Return what each milestone is at: reached when, in its final sweep, inspection and marking, or not yet."""
    lines = []
    for name, hour in replay.milestones:
        if name in frame.reached:
            lines.append(f"{name}: reached {moment_of(replay, hour)}")
        else:
            lines.append(f"{name}: {'final sweep, inspection and marking' if name in frame.closing else 'not yet'}")
    return lines


def further_lines(replay: Replay, frame: Frame) -> list[str]:
    """Return how far each guide rail is set, each piece of work that follows the rows, and where temporary ends stand."""
    stand = frame.stand
    lines = [
        f"guide rail, {rail.area}: {done:,} of {wording.counted(len(rail.ends) - 1, 'section')}"
        for rail, done in zip(replay.ground.rails, stand.railed, strict=True)
    ]
    for work, done in zip(replay.ground.after_rows, stand.after_rows, strict=True):
        lines.append(f"{work.name}: {sum(work.counts[:done]):,} of {wording.counted(sum(work.counts), work.part)}")
    if replay.scenario.makes_ends:
        names = [replay.ground.edges[number].name for number in sorted(stand.ends)]
        lines.append(f"temporary end: {', '.join(names) or 'none stands'}")
    return lines


def moment_of(replay: Replay, hour: float) -> str:
    """Return the local time of an hour, without the year."""
    moment = replay.calendar.moment(round(hour * 60.0) / 60.0)
    return f"{moment:%a} {moment.day} {moment:%b} {moment:%H:%M}"


def about(replay: Replay) -> str:
    """Return which run this is, and that it is one."""
    chosen = f" ({replay.chosen})" if replay.chosen else ""
    ready = next(milestone.name for milestone in replay.scenario.milestones if milestone.ready)
    hours = dict(replay.milestones)[ready]
    when = f"ready in {wording.days(hours)} days" if math.isfinite(hours) else "not ready by the last day simulated"
    return f"run {replay.run_number}{chosen}, {when}. One simulated run, for rehearsal: not a forecast."


def pace(replay: Replay) -> str:
    """Return how time passes from frame to frame."""
    minutes = round(replay.every * 60.0)
    step = f"{minutes // 60} h" if minutes % 60 == 0 else f"{minutes} min"
    night = "; a stretch in which nobody is on shift has one picture" if replay.nights else ""
    return f"one picture every {step}{night}"
