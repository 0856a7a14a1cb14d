"""`keystrip forecast`: many runs, what they say, and a folder that keeps both."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.questions.forecast.precision import MOST
from simulation.session import session as talk
from simulation.stats.quantiles import CONFIDENCE
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, RUNS

if TYPE_CHECKING:
    from simulation.questions.forecast.precision import Precision


#: Quantile that a precision is about, unless another is named.
OF = "p80"


def forecast(
    scenario: talk.SCENARIO = None,
    run_count: Annotated[
        int | None,
        typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help=f"Runs to simulate. Default: {RUNS}."),
    ] = None,
    precision: Annotated[
        str | None,
        typer.Option(
            "--precision",
            metavar="T",
            help='Add runs until the interval reaches no farther than T, such as "1 h" of laying time, from the quantile.',
        ),
    ] = None,
    of: Annotated[str, typer.Option("--of", metavar="P", help="Quantile that --precision is about.")] = OF,
    confidence: Annotated[float, typer.Option("--confidence", metavar="C", help="Confidence of --precision.")] = CONFIDENCE,
    most: Annotated[
        int,
        typer.Option("--most", min=1, max=MOST_RUNS, metavar="N", help="Runs at which --precision stops anyway."),
    ] = MOST,
    sampling: Annotated[
        str, typer.Option("--sampling", metavar="HOW", help="random, or lhs: levels in Latin hypercubes of 100 runs.")
    ] = "random",
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    deadline: talk.DEADLINE = None,
    out: talk.OUT = None,
    force: talk.FORCE = False,
    pictures: Annotated[
        bool,
        typer.Option(
            "--pictures",
            help="Write six more pictures: progress, stations of the median run, drivers, use, losses by day, and rates.",
        ),
    ] = False,
    as_json: talk.JSON = False,
) -> None:
    """Simulate many runs: days until ready, risk bands, what drives them, and a report in a folder.

    Every run is kept in the folder as soon as it is done: the same command goes on after a stop, and answers at once when all
    are there.
    """
    from simulation.questions.forecast.folder import report_files, write_report
    from simulation.questions.forecast.pictures import forecast_pictures
    from simulation.questions.forecast.record import forecast_record
    from simulation.questions.forecast.study import forecast as forecast_of
    from simulation.questions.forecast.tables import print_forecast

    asked = _precision(precision, of, confidence, most, run_count, sampling)
    count = RUNS if run_count is None else run_count
    name, loaded = talk.load(scenario, units)
    folder = talk.folder_of(name, out)
    talk.may_write("--out", "forecast", force, *(folder / file for file in report_files(pictures)))
    with talk.mistakes_of(name), talk.refusals():
        talk.warn(name, loaded)
        with talk.progress() as advance:
            context = RunContext(
                runs=count,
                deadline=deadline,
                sampling=sampling,
                seed=seed,
                workers=workers,
                cluster=cluster,
                folder=folder,
                progress=advance,
                tell=talk.say,
            )
            answer = forecast_of(loaded, context, asked)
    talk.show(as_json, lambda: forecast_record(answer), lambda console: print_forecast(answer, console))
    talk.leave(
        lambda: write_report(answer, folder, forecast_pictures(answer) if pictures else (), force),
        folder,
        "" if answer.study is None else answer.study.stopped,
    )


def _precision(
    within: str | None, of: str, confidence: float, most: int, run_count: int | None, sampling: str
) -> Precision | None:
    """Return the precision that is asked for, or say why it cannot be."""
    from simulation.chance import HYPERCUBE, SAMPLINGS
    from simulation.questions.forecast.precision import read_precision

    if sampling not in SAMPLINGS:
        talk.stop(f"--sampling: {sampling} is not a way to draw levels; write {' or '.join(SAMPLINGS)}")
    if within is not None and run_count is not None:
        talk.stop("--runs: --precision says how many runs there are; leave one of them out, or use --most")
    count = most if within is not None else RUNS if run_count is None else run_count
    if sampling == "lhs" and count % HYPERCUBE:
        option = "--runs" if within is None else "--most"
        right = HYPERCUBE * max(1, round(count / HYPERCUBE))
        talk.stop(f"{option}: {count} runs are not whole hypercubes of {HYPERCUBE}; write {right}")
    if within is None:
        for option, given in (
            ("--of", of != OF),
            ("--confidence", confidence != CONFIDENCE),
            ("--most", most != MOST),
        ):
            if given:
                talk.stop(f"{option}: it belongs to --precision; give that as well, or leave it out")
        return None
    with talk.mistakes_of("precision"):
        return read_precision(within, of, confidence, most)
