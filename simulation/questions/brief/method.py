"""Writes the end of a brief: the method in half a page, the cautions, and what is needed to repeat it."""

from __future__ import annotations

import math
import shlex
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Page, Part, Points, Terms, Text, Verbatim
from simulation.present.cautions import CAUTIONS
from simulation.present.data_files import describe_data
from simulation.present.figure import listed
from simulation.questions.forecast import overview as facts
from simulation.questions.forecast.yardsticks import OF_FIELDS

if TYPE_CHECKING:
    from simulation.questions.brief.study import Findings
    from simulation.questions.forecast.study import Forecast


def method_page(forecast: Forecast) -> Page:
    """Return the method in half a page, and how the numbers stand beside published ones."""
    spans = wording.laying_shifts(forecast.calendar, numbered=False)
    return Page(
        "method",
        "Method and yardsticks",
        (
            Part(
                "How the numbers come about",
                (
                    Text(
                        "Each run plays the whole construction through: trucks and flights bring pallets under a daily limit; "
                        "forklifts unload them, bring them to the laying edges and break down; grading runs ahead; crews lay row "
                        "by row, set key strips, check the line and join areas; weather, darkness and shifts stop each kind of "
                        "work. Rows, mats, joints and pallets are counted from the drawing."
                    ),
                    Text(
                        f"There are {wording.counted(forecast.run_count, 'run')}. In each, every uncertain input has a job-wide "
                        "value, drawn once (what nobody knows today), and a task-to-task variation, drawn at every step. P80 is "
                        "the time by which 80 % of the runs were ready; a run that is not ready within the "
                        f"{wording.days(forecast.scenario.horizon)} days simulated counts as late. Days count from the start; "
                        f"each is given with the laying shift that holds the hour ({spans})."
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
                            ("rate", facts.rate(forecast)),
                            ("pallets a day", facts.gate(forecast)),
                            ("handbook estimate", facts.book(forecast)),
                            *((one.what, facts.beside(one, forecast)) for one in OF_FIELDS),
                        )
                    ),
                ),
            ),
        ),
    )


def cautions_page() -> Page:
    """Return the cautions."""
    return Page("cautions", "Cautions", (Part("Before anything is decided by this", (Points(CAUTIONS),)),))


def repeat_page(found: Findings, folder: Path | None) -> Page:
    """Return what is needed to do the study again."""
    study = found.forecast.study
    if study is None:
        return Page("repeat", "To repeat it", (Part("The study", (Text("The runs were not kept, so no study can be named."),)),))
    one = study.manifest
    command = "" if folder is None else f"keystrip repeat {shlex.quote(f'{folder.as_posix()}/{one.number}')}"
    runs = wording.counted(found.forecast.run_count, "run")
    libraries = ", ".join(f"{name} {version}" for name, version in one.identity.versions.items())
    rows = [
        (
            "do it again",
            f"{command} does the runs of the forecast again and says whether they agree to the bit." if command else "",
        ),
        ("scenario", f"{one.title}, from {one.file}" if one.file else one.title),
        *((f"data file {name}", described) for name, described in describe_data(one.data)),
        ("changed", "; ".join(f"{where} = {text}" for where, text in one.changes)),
        (
            "runs and seed",
            f"{runs}, seed {one.identity.seed}, {_levels(one.identity.sampling)}",
        ),
        ("program", f"keystrip {one.release}, source SHA-256 {one.identity.program}"),
        ("scenario SHA-256", one.identity.scenario),
        ("libraries", libraries),
        ("processor", one.processor),
        ("study began", f"{one.began} UTC".replace("+00:00", "")),
    ]
    blocks = [Terms(tuple((term, text) for term, text in rows if text))]
    texts = [Verbatim(f"The scenario, {one.file or one.title}", one.text)] if one.text else []
    parts = [Part("The study", tuple(blocks))]
    if texts:
        parts.append(Part("What was read", tuple(texts), on_paper=False))
    return Page("repeat", "To repeat it", tuple(parts))


def _levels(sampling: str) -> str:
    return "job-wide values drawn at random" if sampling == "random" else "job-wide values in Latin hypercubes of 100 runs"


def few(found: Findings) -> tuple[str, ...]:
    """Return what a reader must know before any number."""
    forecast = found.forecast
    runs, lines = wording.counted(forecast.run_count, "run"), []
    if (only := wording.few_runs(forecast.run_count)) is not None:
        lines.append(only)
    if forecast.unfinished:
        lines.append(
            f"{forecast.unfinished:,} of {runs} not ready by the last day simulated, day "
            f"{wording.days(forecast.scenario.horizon)}: counted as late, never as ready."
        )
    if found.stopped or forecast.run_count < forecast.asked:
        asked = wording.counted(forecast.asked, "run")
        missing = f"; not reached: {listed(found.missing)}" if found.missing else ""
        lines.append(f"Stopped early: {wording.number(forecast.run_count)} of {asked} of the forecast{missing}.")
    if math.isinf(forecast.readiness.quantile(0.5).value):
        lines.append("Fewer than half of the runs are ready by the last day simulated: the plan does not work as it is.")
    return tuple(lines)
