"""`keystrip repair`: cut damaged mats out, or open the strip at a key strip?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.options import SCENARIO

if TYPE_CHECKING:
    from simulation.present.answer import Answer

#: As in `questions.repair.study`, which would load the rooms before it.
RUNS, MOST_RUNS = 400, 10_000


@with_folder_options()
def repair(
    scenario: SCENARIO = None,
    at: Annotated[
        str, typer.Option("--at", metavar="WHERE", help='Area and station, such as "runway 1,240 ft".', show_default=False)
    ] = "",
    mats: Annotated[
        int | None,
        typer.Option("--mats", min=1, metavar="N", help="Damaged mats, the nearest to there. Default: 1."),
    ] = None,
    crater: Annotated[
        str | None,
        typer.Option("--crater", metavar="DIAMETER", help='Of a crater whose ground is mended, such as "20 ft".'),
    ] = None,
    across: Annotated[
        str | None,
        typer.Option("--across", metavar="LENGTH", help="From the left edge. Default: the middle."),
    ] = None,
    begin: Annotated[
        str | None,
        typer.Option(
            "--begin",
            metavar="MOMENT",
            help='When it closes, such as "20 d 6 h": crews mend it on shift, who is at work then first. Default: any hour.',
        ),
    ] = None,
    runs: Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of the repair.")] = RUNS,
    *,
    asking: FolderAsking,
) -> None:
    """Say how damaged mats are mended soonest: cut out one by one, or opened from a key strip; and how long the strip is closed.

    With [damage] in the scenario it also says what a season of damage costs in closed hours and mats.
    """
    from simulation.present.file_names import answer_files, file_stem
    from simulation.questions.repair.answer import repair_answer
    from simulation.questions.repair.study import repair as ask

    name, loaded = asking.load(scenario)
    where = at or f"{loaded.area[0].name} {loaded.measures.length.text(loaded.area[0].length / 2)}"

    asked = {"": at, "mats": mats, "crater": crater, "across": across, "begin": begin}
    stem = file_stem("repair", [f"{what} {value}".strip() for what, value in asked.items() if value])

    def answer() -> Answer:
        with session.progress("runs", workers=1) as advance:
            return repair_answer(ask(loaded, where, mats, crater, across, begin, runs, asking.seed, advance), stem)

    asking.answer(name, [loaded], ("repair", answer_files(stem)), answer)
