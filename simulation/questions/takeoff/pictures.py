"""Which picture of a field is asked for, and how does it become a file of its own: the plan, or a stretch mat by mat?"""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

from simulation.present.pictures.figure import STYLE
from simulation.present.pictures.plan_picture import draw_plan
from simulation.questions.takeoff.brick_picture import draw_brick, read_detail
from simulation.scenario import Scenario

#: Endings of a picture's file. PNG is for pages that take no other; the others stay sharp at any size.
ENDINGS = (".svg", ".png", ".pdf")


def save_field(scenario: Scenario, path: Path, detail: str | None = None) -> None:
    """Write the plan of a field, or the brick pattern of a stretch of it, to a file whose ending says in which form.

    Parameters
    ----------
    scenario : Scenario
    path : Path
        With one of `ENDINGS`.
    detail : str, optional
        The stretch, as ``AREA:FROM-TO`` in the units of the scenario, or with one of its own, from the area's low end.

    Raises
    ------
    ScenarioError
        If there is no such stretch, or two areas lie on the same ground.
    OSError
        If the file cannot be written.
    """
    import matplotlib

    stretch = None if detail is None else read_detail(detail, scenario)
    with matplotlib.rc_context(cast(Any, STYLE)):
        figure = draw_plan(scenario) if stretch is None else draw_brick(scenario, stretch)
        ending = path.suffix.lower()
        dateless = {".svg": {"Date": None}, ".pdf": {"CreationDate": None}}.get(ending)
        figure.savefig(path, dpi=150, metadata=dateless)
