"""`keystrip forecast`: when the field is ready, and how sure that is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.questions.forecast.precision import MOST_RUNS_ADDED
from simulation.session import session
from simulation.session.asking import Asking, with_options
from simulation.session.lines import stop
from simulation.session.options import SCENARIO
from simulation.stats.quantiles import CONFIDENCE
from simulation.study.runner import MOST_RUNS, RUNS

if TYPE_CHECKING:
    from simulation.present.answer import Answer
    from simulation.questions.forecast.precision import Precision
    from simulation.study.run_context import RunContext

#: Quantile that a precision is about, unless another is named.
OF = "p80"

RUN_COUNT = Annotated[
    int | None, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help=f"Runs to simulate. Default: {RUNS}.")
]
PRECISION = Annotated[
    str | None,
    typer.Option(
        "--precision",
        metavar="T",
        help='Add runs until the interval reaches no farther than T, such as "1 h" of laying time, from the quantile.',
    ),
]
QUANTILE = Annotated[str, typer.Option("--of", metavar="P", help="Quantile that --precision is about.")]
SURE = Annotated[float, typer.Option("--confidence", metavar="C", help="Confidence of --precision.")]
MOST_OF_THEM = Annotated[
    int, typer.Option("--most", min=1, max=MOST_RUNS, metavar="N", help="Runs at which --precision stops anyway.")
]
SAMPLING = Annotated[
    str,
    typer.Option("--sampling", metavar="HOW", help="random, or lhs: job-wide values in Latin hypercubes of 100 runs."),
]
PICTURES = Annotated[
    bool,
    typer.Option("--pictures", help="Write further pictures, from how the field grows to rates beside published ones."),
]


@with_options(runs=None)
def forecast(
    scenario: SCENARIO = None,
    run_count: RUN_COUNT = None,
    precision: PRECISION = None,
    of: QUANTILE = OF,
    confidence: SURE = CONFIDENCE,
    most: MOST_OF_THEM = MOST_RUNS_ADDED,
    sampling: SAMPLING = "random",
    pictures: PICTURES = False,
    *,
    asking: Asking,
) -> None:
    """Say when the field is ready and how sure that is, where the time goes, and what to order.

    Every run is kept in the folder as soon as it is done: the same command goes on after a stop, and answers at once when all
    are there.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.forecast.file_names import FURTHER, RUNS_SHEET, S_CURVE
    from simulation.questions.forecast.study import forecast as ask

    asked = _precision(precision, of, confidence, most, run_count, sampling)
    name, loaded = asking.load(scenario, run_count)
    files = answer_files("forecast", (S_CURVE, *(FURTHER if pictures else ())), (RUNS_SHEET,))

    def answered(context: RunContext) -> Answer:
        result = ask(loaded, context, asked)
        from simulation.questions.forecast.answer import forecast_answer  # here: no run waits for what words it
        from simulation.questions.forecast.drawn.figures import forecast_pictures

        return forecast_answer(result, forecast_pictures(result) if pictures else ())

    count = RUNS if run_count is None else run_count
    asking.answer(name, [loaded], ("forecast", files), answered, announced=False, runs=count, sampling=sampling)


def _precision(
    within: str | None, of: str, confidence: float, most: int, run_count: int | None, sampling: str
) -> Precision | None:
    """Return the precision that is asked for, or say why it cannot be."""
    from simulation.chance import HYPERCUBE, SAMPLINGS
    from simulation.questions.forecast.precision import read_precision
    from simulation.scenario.types.mistakes import shown

    if sampling not in SAMPLINGS:
        stop(f"--sampling: {shown(sampling)} is not a way to draw job-wide values; write {' or '.join(SAMPLINGS)}")
    if within is not None and run_count is not None:
        stop("--runs: --precision says how many runs there are; leave one of them out, or use --most")
    count = most if within is not None else RUNS if run_count is None else run_count
    if sampling == "lhs" and count % HYPERCUBE:
        option = "--runs" if within is None else "--most"
        right = HYPERCUBE * max(1, round(count / HYPERCUBE))
        stop(f"{option}: {count} runs are not whole hypercubes of {HYPERCUBE}; write {right}")
    if within is None:
        for option, given in (
            ("--of", of != OF),
            ("--confidence", confidence != CONFIDENCE),
            ("--most", most != MOST_RUNS_ADDED),
        ):
            if given:
                stop(f"{option}: it belongs to --precision; give that as well, or leave it out")
        return None
    with session.mistakes_of("precision"):
        return read_precision(within, of, confidence, most)
