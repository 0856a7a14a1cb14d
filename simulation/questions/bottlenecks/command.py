"""`keystrip bottlenecks`: what holds the work up, and what would help."""

from __future__ import annotations

from simulation.session.asking import Asking, with_options
from simulation.session.options import SCENARIO


@with_options(runs="Runs of the scenario, and of each thing that is tried.")
def bottlenecks(scenario: SCENARIO = None, *, asking: Asking) -> None:
    """Say what holds the work up, early and late, and what one more of each thing or one trouble less would gain.

    Each thing is tried by itself under the same luck, run by run: one more forklift, truck, grading gang or crew, ten more
    people, a tenth less of each time, a shipment a day earlier, no breakdowns, no rain, no flying windows, no daily limit,
    lights, work day and night.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.bottlenecks.answer import bottlenecks_answer
    from simulation.questions.bottlenecks.study import bottlenecks as ask

    name, loaded = asking.load(scenario)
    files = ("bottlenecks", answer_files("bottlenecks"))
    asking.answer(name, [loaded], files, lambda context: bottlenecks_answer(ask(loaded, context)))
