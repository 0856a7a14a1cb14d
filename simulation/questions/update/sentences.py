"""The sentences on an update: when now, how much later and why, what was learned, and what the log did not say."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import DAYS, chance_in_words, choose_format, whole
from simulation.stats.likelihood_words import FEW
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from simulation.questions.update.study import UpdateResult
    from simulation.stats.quantiles import QuantileEstimate
    from simulation.study.calendar import Calendar
    from simulation.study.outcomes import Outcome

#: Of a level's middle, a change below which it is not named in a sentence. Planning value.
_MOVED = 0.05


def update_headline(result: UpdateResult) -> str:
    """Return the answer in one sentence."""
    calendar, name = make_calendar(result.now.scenario), ready_name(result)
    if result.reached:
        return f"{name.capitalize()} was reached on {wording.moment(calendar, result.now.p80.value)}."
    if math.isinf(result.now.p80.value):
        return f"With the work as it stands, four runs in five do not reach {name} by the last day simulated."
    date = wording.moment(calendar, result.now.p80.value)
    if result.log.state is None:
        return f"Nothing is logged yet: four runs in five reach {name} by {date}, as forecast from the start."
    middle = later_words(result)
    return f"As the work stands, four runs in five reach {name} by {date}; {middle}{_on_time(result)}."


def later_words(result: UpdateResult) -> str:
    """Return how much later, or earlier, the middle of the runs lies now."""
    change = result.change.p50
    if not math.isfinite(result.later):
        return "the middle of the runs lay beyond the last day simulated"
    if not change.measurable:
        return "the middle of the runs as forecast from the start"
    size = choose_format(result.then.p80.value).of(result.later)
    return f"the middle of the runs {size} {'later' if result.later > 0 else 'earlier'} than forecast from the start"


def _on_time(result: UpdateResult) -> str:
    then, now, deadline = result.then.chance, result.now.chance, result.now.deadline
    if then is None or now is None or deadline is None or min(then.runs, now.runs) < FEW:
        return ""
    return f"; ready by {deadline.text}: {whole(now.probability)} instead of {whole(then.probability)}"


def ready_name(result: UpdateResult) -> str:
    """Return the name of the milestone that is asked for."""
    return next(milestone.name for milestone in result.now.scenario.milestones if milestone.ready)


def where_we_stand(result: UpdateResult) -> str:
    """Return where the work stands, in a sentence."""
    state = result.log.state
    if state is None:
        return "Nothing is logged yet: the forecast is the one from the start."
    moment = make_calendar(result.now.scenario).moment(result.moment)
    planned = _share_planned(result)
    return (
        f"Where the work stands on {moment:%a} {moment.day} {moment:%b %Y %H:%M}: {100.0 * result.done:.0f} % of the field is "
        f"laid (the forecast from the start had {planned:.0f} % by then in its middle run), {state.came:,} pallets have come."
    )


def _share_planned(result: UpdateResult) -> float:
    fan = result.fan_then
    share = 0.0
    for index in range(1, len(fan.percents)):
        start, end = fan.p50[index - 1], fan.p50[index]
        if result.moment < start or not math.isfinite(start):
            break
        part = min(1.0, (result.moment - start) / (end - start)) if math.isfinite(end) and end > start else 0.0
        share = fan.percents[index - 1] + part * (fan.percents[index] - fan.percents[index - 1])
    return share


def update_lines(result: UpdateResult) -> list[str]:
    """Return the sentences around the headline."""
    lines = [where_we_stand(result)]
    if result.log.state is None:
        return [*lines, _then_and_now(result.now, "Forecast")]
    lines += [_then_and_now(result.then, "Then"), _then_and_now(result.now, "Now")]
    if result.happened is not None and result.learned is not None and not result.reached:
        lines.append(
            f"Of the change of the middle, {_signed(result.happened)} is what happened (the days that are gone and where the job "
            f"stands), and {_signed(result.learned)} what the log teaches of the rates."
        )
    if math.isfinite(result.left_then) and math.isfinite(result.left_now):
        lines.append(
            f"Left to chance: P10 to P90 spanned {wording.days(result.left_then)} days then, and spans "
            f"{wording.days(result.left_now)} now."
        )
    lines += _learned(result)
    lines.append(_yardstick(result))
    return lines


def _then_and_now(outcome: Outcome, when: str) -> str:
    calendar = make_calendar(outcome.scenario)
    dates = " and ".join(_dated(band, calendar) for band in (outcome.p50, outcome.p80))
    line = f"{when}: {dates}"
    if outcome.chance is not None and outcome.deadline is not None:
        line += f"; ready by {outcome.deadline.text}: {chance_in_words(outcome.chance)}"
    return f"{line}."


def _dated(band: QuantileEstimate, calendar: Calendar) -> str:
    days = wording.days(band.value)
    return f"{band.name} {days}" + ("" if math.isinf(band.value) else f" days ({wording.moment(calendar, band.value)})")


def _signed(hours: float) -> str:
    number = round(hours / 24.0, 1) + 0.0
    if not number:
        return "no measurable part"
    return f"{DAYS.of(hours)} {'later' if hours > 0 else 'earlier'}"


def _learned(result: UpdateResult) -> list[str]:
    moved = [(level, level.now[1] / level.before[1]) for level in result.lessons.levels if level.before[1]]
    learned = [(level.key, ratio) for level, ratio in moved if abs(ratio - 1.0) >= _MOVED]
    if not result.lessons.levels:
        return ["The log says nothing of the rates: they are as the scenario has them."]
    if not learned:
        return ["The rates in the log are those that the scenario expects: no middle moves by a twentieth."]
    learned.sort(key=lambda pair: -abs(math.log(pair[1])))
    said = listed([f"{key} {ratio:.2f} times what the scenario expects" for key, ratio in learned[:3]])
    return [f"What the log teaches: {said}; all levels stand in the table."]


def _yardstick(result: UpdateResult) -> str:
    schedule = result.schedule
    if schedule.at <= 0.0 or result.reached:
        return "Earned schedule, a plain yardstick, has nothing to say here."
    ends = wording.days(schedule.estimate) if math.isfinite(schedule.estimate) else "no end"
    return (
        f"Earned schedule, a plain yardstick without risk: the old forecast had what is done now after "
        f"{wording.days(schedule.earned)} of {wording.days(schedule.at)} days, a pace of {schedule.index:.2f}; at that pace "
        f"{ends} days in all."
    )


def update_warnings(result: UpdateResult) -> list[str]:
    """Return what a reader must know before any number."""
    lines = [few] if (few := wording.few_runs(result.runs)) else []
    if result.stopped or result.runs < result.asked:
        lines.append(f"Stopped early: {wording.number(result.runs)} of {wording.counted(result.asked, 'run')} done.")
    unfinished = sum(math.isinf(hours) for hours in result.now.hours)
    if unfinished:
        lines.append(f"{wording.counted(unfinished, 'run')} not ready by the last day simulated: counted as late.")
    for conflict in result.lessons.conflicts:
        lines.append(f"{conflict.key}: {conflict.wrong}; {conflict.right}.")
    if result.lessons.agreement > 1.05:
        lines.append(
            f"The draws that were learned from the log have not settled (halves agree to {result.lessons.agreement:.2f}, 1.05 at "
            "most can be trusted): take what was learned with care."
        )
    return lines
