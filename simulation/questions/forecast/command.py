"""`keystrip forecast`: many builds, what they say, and a folder that keeps both."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.questions.forecast.precision import MOST
from simulation.questions.forecast.study import BUILDS, MOST_BUILDS
from simulation.session import session as talk
from simulation.stats.quantiles import CONFIDENCE

if TYPE_CHECKING:
    from simulation.questions.forecast.precision import Precision


#: Quantile that a precision is about, unless another is named.
OF = "p80"


def forecast(
    scenario: talk.SCENARIO = None,
    replications: Annotated[
        int | None,
        typer.Option("--replications", min=1, max=MOST_BUILDS, metavar="N", help=f"Builds to simulate. Default: {BUILDS}."),
    ] = None,
    precision: Annotated[
        str | None,
        typer.Option(
            "--precision",
            metavar="T",
            help='Add builds until the interval reaches no farther than T, such as "1 h" of laying time, from the quantile.',
        ),
    ] = None,
    of: Annotated[str, typer.Option("--of", metavar="P", help="Quantile that --precision is about.")] = OF,
    confidence: Annotated[float, typer.Option("--confidence", metavar="C", help="Confidence of --precision.")] = CONFIDENCE,
    most: Annotated[
        int,
        typer.Option("--max-replications", min=1, max=MOST_BUILDS, metavar="N", help="Builds at which --precision stops anyway."),
    ] = MOST,
    sampling: Annotated[
        str, typer.Option("--sampling", metavar="HOW", help="random, or lhs: levels in Latin hypercubes of 100 builds.")
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
            help="Write six more pictures: progress, stations of the median build, drivers, use, losses by day, and rates.",
        ),
    ] = False,
    as_json: talk.JSON = False,
) -> None:
    """Simulate many builds: days until ready, risk bands, what drives them, and a report in a folder.

    Every build is kept in the folder as soon as it is done: the same command goes on after a stop, and answers at once when all
    are there.
    """
    from simulation.questions.forecast.folder import report_files, write_report
    from simulation.questions.forecast.pictures import pictures_of
    from simulation.questions.forecast.record import summary_of
    from simulation.questions.forecast.study import forecast as forecast_of
    from simulation.questions.forecast.tables import print_forecast

    asked = _precision(precision, of, confidence, most, replications, sampling)
    count = BUILDS if replications is None else replications
    name, loaded = talk.load(scenario, units)
    folder = talk.folder_of(name, out)
    talk.may_write("--out", "forecast", force, *(folder / file for file in report_files(pictures)))
    with talk.mistakes_of(name), talk.refusals():
        talk.warn(name, loaded)
        with talk.progress() as advance:
            answer = forecast_of(
                loaded, count, seed, workers, deadline, advance,
                precision=asked, sampling=sampling, cluster=cluster, folder=folder, tell=talk.say,
            )  # fmt: skip
    talk.show(as_json, lambda: summary_of(answer), lambda console: print_forecast(answer, console))
    talk.leave(
        lambda: write_report(answer, folder, pictures_of(answer) if pictures else (), force),
        folder,
        "" if answer.run is None else answer.run.stopped,
    )


def _precision(
    within: str | None, of: str, confidence: float, most: int, replications: int | None, sampling: str
) -> Precision | None:
    """Return the precision that is asked for, or say why it cannot be."""
    from simulation.chance import HYPERCUBE, SAMPLINGS
    from simulation.questions.forecast.precision import read_precision

    if sampling not in SAMPLINGS:
        talk.stop(f"--sampling: {sampling} is not a way to draw levels; write {' or '.join(SAMPLINGS)}")
    if within is not None and replications is not None:
        talk.stop("--replications: --precision says how many builds there are; leave one of them out, or use --max-replications")
    count = most if within is not None else BUILDS if replications is None else replications
    if sampling == "lhs" and count % HYPERCUBE:
        option = "--replications" if within is None else "--max-replications"
        right = HYPERCUBE * max(1, round(count / HYPERCUBE))
        talk.stop(f"{option}: {count} builds are not whole hypercubes of {HYPERCUBE}; write {right}")
    if within is None:
        for option, given in (
            ("--of", of != OF),
            ("--confidence", confidence != CONFIDENCE),
            ("--max-replications", most != MOST),
        ):
            if given:
                talk.stop(f"{option}: it belongs to --precision; give that as well, or leave it out")
        return None
    with talk.mistakes_of("precision"):
        return read_precision(within, of, confidence, most)
