"""Are many pictures the same to the bit, whoever draws them and whatever becomes of the others?"""

import os
from functools import partial
from pathlib import Path

import pytest
from matplotlib.figure import Figure as Drawn

from simulation.present.answer import Figure
from simulation.present.pictures import drawing
from simulation.present.pictures.drawing import MANY, draw_pictures
from simulation.present.pictures.figure import axes_at, blank
from simulation.replicate import executors, processes

NAMES = [f"picture {number}" for number in range(MANY)]


def _draw(name: str, here: int, dies: bool) -> Drawn:
    """Draw a line; elsewhere than here the process may end while it draws."""
    if dies and os.getpid() != here:
        os._exit(9)
    figure = blank(2.0, 1.0)
    axes_at(figure, 0.3, 0.3, 1.5, 0.5).plot([0, NAMES.index(name)], [0, 1], label=name)
    figure.text(0.1, 0.5, f"{name} in words")
    return figure


def _describe(name: str) -> str:
    return f"It shows {name}."


def _pictures(dies: bool = False) -> list[Figure]:
    return [Figure(name, name, partial(_draw, name, os.getpid(), dies), partial(_describe, name)) for name in NAMES]


def _contents(files: dict[str, list[Path]]) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for each in files.values() for file in each}


@pytest.mark.parametrize("dies", [False, True])
def test_pictures_that_other_processes_draw_are_the_same_and_none_is_lost_where_one_of_them_dies(tmp_path, monkeypatch, dies):
    for name in ("alone", "together"):
        (tmp_path / name).mkdir()
    alone = {figure.name: figure.save(tmp_path / "alone") for figure in _pictures()}
    monkeypatch.setattr(processes, "cores", lambda: 2)
    monkeypatch.setattr(Figure, "save", _save_last_only_elsewhere(Figure.save) if not dies else Figure.save)
    together = draw_pictures(_pictures(dies), tmp_path / "together", ("svg", "png"))
    assert sorted(together) == NAMES
    assert _contents(together) == _contents(alone)


def _save_last_only_elsewhere(save):
    """Return what saves a picture, and fails for the last one: a process that is started anew does not know of it."""

    def saved(figure, folder, forms):
        assert figure.name != NAMES[-1], "drawn here"
        return save(figure, folder, forms)

    return saved


def test_few_pictures_start_no_process(tmp_path, monkeypatch):
    monkeypatch.setattr(executors, "pool", lambda workers: pytest.fail("a process for few pictures"))
    few = [Figure(name, name, partial(_draw, name, 0, False), partial(_describe, name)) for name in NAMES[: drawing.MANY - 1]]
    assert list(draw_pictures(few, tmp_path, ("png",))) == NAMES[: MANY - 1]
