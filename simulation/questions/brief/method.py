"""Writes the end of a brief: the method in half a page, the cautions, and what is needed to repeat it."""

from __future__ import annotations

import csv
import io
import shlex
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from simulation.present.answer import Page, Part, Points, Terms, Text, Verbatim
from simulation.present.words import wording
from simulation.present.words.job_words import cautions_of
from simulation.questions.brief.study import BriefResult
from simulation.questions.forecast import overview
from simulation.questions.forecast.study import Forecast
from simulation.questions.forecast.yardsticks.published_rates import published_for
from simulation.scenario import Scenario

_STOPS = "weather, darkness and shifts stop each kind of work."
#: What a run plays through, by its job.
_LAYING = (
    "Each run plays the whole construction through: trucks, flights and shipments bring pallets under a daily limit; forklifts "
    "unload them, bring them to the laying edges and break down; grading runs ahead; crews lay row by row, set key strips, check "
    f"the line and join areas; {_STOPS} Rows, mats, joints and pallets are counted from the drawing."
)
_TAKING_UP = (
    "Each run plays the whole take-up through: crews open the field at key strips and lift it row by row; their handlers clean, "
    "inspect, sort, stack and band; forklifts bring pallets to the yard and break down; trucks, flights and ships take them away "
    f"under a daily limit; end ramps are dug out; {_STOPS} Rows, mats and key strips are counted from the drawing."
)


def method_page(forecast: Forecast) -> Page:
    """Return the method in half a page, and how the numbers stand beside published ones."""
    spans = wording.laying_shifts(forecast.calendar, numbered=False)
    crews = "crews'" if forecast.scenario.takes_up else "laying"
    return Page(
        "method",
        "Method and yardsticks",
        (
            Part(
                "How the numbers come about",
                (
                    Text(_TAKING_UP if forecast.scenario.takes_up else _LAYING),
                    Text(
                        f"There are {wording.counted(forecast.run_count, 'run')}. In each, every uncertain input has a job-wide "
                        "value, drawn once (what nobody knows today), and a task-to-task variation, drawn at every step. P80 is "
                        f"the time by which 80 % of the runs were {forecast.ready_word}; a run that is not within the "
                        f"{wording.days(forecast.scenario.horizon)} days simulated counts as late. Days count from the start; "
                        f"each is given with the {crews} shift that holds the hour ({spans})."
                    ),
                    Text(
                        "To explain the finish, the program works backwards from it: each task could start only when another "
                        "ended, so every hour has exactly one cause, and the causes add up to the whole time. Other plans and "
                        "changes meet the same random draws, run by run: what differs is the plan. Intervals are of 95 %, "
                        "exact for quantiles and chances, bootstrapped for differences between plans; they show sampling error "
                        "only and do not cover wrong inputs or a wrong model. Likelihood words follow ICD 203 and stand beside "
                        "their number."
                    ),
                ),
            ),
            Part(
                "Yardsticks",
                (
                    Terms(
                        (
                            ("rate", overview.rate(forecast)),
                            ("pallets a day", overview.gate(forecast)),
                            *([] if forecast.scenario.takes_up else [("handbook estimate", overview.book(forecast))]),
                            *(
                                (published.what, overview.beside(published, forecast))
                                for published in published_for(forecast.scenario)
                                if published.per_day is not None
                            ),
                        )
                    ),
                ),
            ),
        ),
    )


def cautions_page(scenario: Scenario) -> Page:
    """Return the cautions."""
    return Page("cautions", "Cautions", (Part("Before anything is decided by this", (Points(cautions_of(scenario)),)),))


def repeat_page(result: BriefResult, folder: Path | None) -> Page:
    """Return what is needed to do the study again."""
    study = result.forecast.study
    if study is None:
        return Page("repeat", "To repeat it", (Part("The study", (Text("The runs were not kept, so no study can be named."),)),))
    manifest = study.manifest
    identity = manifest.identity
    command = "" if folder is None else f"keystrip repeat {shlex.quote(f'{folder.as_posix()}/{manifest.number}')}"
    again = f"{command} does the runs of the forecast again and says whether they agree to the bit."
    runs = wording.counted(result.forecast.run_count, "run")
    rows = (
        ("do it again", again if command else ""),
        ("scenario", f"{manifest.title}, from {manifest.file}" if manifest.file else manifest.title),
        *((f"data file {name}", described) for name, described in describe_data(manifest.data)),
        ("changed", "; ".join(f"{where} = {text}" for where, text in manifest.changes)),
        ("runs and seed", f"{runs}, seed {identity.seed}, {_levels(identity.sampling)}"),
        ("program", f"keystrip {manifest.release}, source SHA-256 {identity.program}"),
        ("scenario SHA-256", identity.scenario),
        ("libraries", ", ".join(f"{name} {version}" for name, version in identity.versions.items())),
        ("processor", manifest.processor),
        ("study began", f"{manifest.began} UTC".replace("+00:00", "")),
    )
    parts = [Part("The study", (Terms(tuple((term, text) for term, text in rows if text)),))]
    if manifest.text:
        scenario = Verbatim(f"The scenario, {manifest.file or manifest.title}", manifest.text)
        parts.append(Part("What was read", (scenario,), on_paper=False))
    return Page("repeat", "To repeat it", tuple(parts))


def _levels(sampling: str) -> str:
    return "job-wide values drawn at random" if sampling == "random" else "job-wide values in Latin hypercubes of 100 runs"


def describe_data(data: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return a term and a line for each data file that a scenario was read with.

    Parameters
    ----------
    data : mapping of str to str
        Text by name, every cell empty but those that were read; see `simulation.scenario.types.texts.source.Source`.
    """
    return [(name, _described(text)) for name, text in data.items()]


def _described(text: str) -> str:
    separator = max(",;\t|", key=text.partition("\n")[0].count)
    header, *rows = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    rows = [row for row in rows if any(row)]
    columns = [(name.strip(), index) for index, name in enumerate(header) if name.strip()]
    parts = [_quantiles(name, [row[index] for row in rows if index < len(row)]) for name, index in columns]
    return f"{len(rows):,} lines; {'; '.join(parts)}"


def _quantiles(name: str, cells: list[str]) -> str:
    """Return P10, P50 and P90 of a column of numbers, or its name alone."""
    try:
        values = [float(cell.replace(",", ".")) for cell in cells if cell.strip()]
    except ValueError:
        return name
    if not values:
        return name
    low, middle, high = np.quantile(values, [0.1, 0.5, 0.9], method="inverted_cdf")
    return f"{name} P10 {low:g}, P50 {middle:g}, P90 {high:g}"
