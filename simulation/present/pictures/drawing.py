"""Draws the pictures of an answer: many of them on all cores, the same to the bit as one after the other."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from concurrent.futures import Future
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.present.answer import Figure

#: Names and contents of the files of a picture that another process draws.
Drawing = Future[list[tuple[str, bytes]]]
#: Pictures from which on another process is worth its start, which takes about as long as two of them. Planning value.
MANY = 4


def draw_pictures(figures: Sequence[Figure], folder: Path, forms: Sequence[str]) -> dict[str, list[Path]]:
    """Draw pictures into a folder, and return the paths of each by its name.

    Other processes begin with the last picture, this one with the first. What they do not finish, as where the system ends them,
    is drawn here.
    """
    if len(figures) < MANY:
        return {figure.name: figure.save(folder, forms) for figure in figures}
    from simulation.replicate.executors import pool
    from simulation.replicate.processes import cores  # here: a question without runs has few pictures

    others = min(cores(), len(figures) // 2) - 1
    team, left = pool(max(1, others)), deque(figures)
    sent: list[tuple[Figure, Drawing]] = []
    drawn: dict[str, list[Path]] = {}
    try:
        while left or sent:
            while len(sent) < min(2 * others, len(left)):  # one at work and the next at hand, but for the last ones
                try:
                    drawing = team.executor.submit(_draw, left[-1], forms)
                except team.broken:
                    others = 0
                else:
                    sent.append((left.pop(), drawing))
            if left:
                figure = left.popleft()
                drawn[figure.name] = figure.save(folder, forms)
            for figure, drawing in [each for each in sent if not left or each[1].done()]:
                drawn[figure.name] = _write(drawing, folder) or figure.save(folder, forms)
                sent.remove((figure, drawing))
    finally:
        team.close()
    return drawn


def _draw(figure: Figure, forms: Sequence[str]) -> list[tuple[str, bytes]]:
    """Return names and contents of a picture's files: who asked may be gone, and its folder with it."""
    with TemporaryDirectory() as beside:
        return [(file.name, file.read_bytes()) for file in figure.save(Path(beside), forms)]


def _write(drawing: Drawing, folder: Path) -> list[Path]:
    """Write a picture that another process draws; return nothing where that came to no end."""
    try:
        contents = drawing.result()
    except Exception:  # whatever it was: where it is the picture's own fault it is met here again
        return []
    files = []
    for name, content in contents:
        files.append(folder / name)
        files[-1].write_bytes(content)
    return files
