"""Pictures that are composed and leave their files, but are not painted, where nobody looks at them: a third of a second each."""

import importlib
from pathlib import Path


def unpainted_pictures():
    """Return what takes the place of what by its name: the painting, which font has the letters of every tick, and from how many
    pictures on other processes help.
    """
    save = importlib.import_module("matplotlib.figure").Figure.savefig

    def leave(figure, file, **how):
        return Path(file).write_text("unpainted") if isinstance(file, str | Path) else save(figure, file, **how)

    return {
        "matplotlib.figure.Figure.savefig": leave,
        "simulation.present.pictures.figure.use_fonts": lambda _: None,
        "simulation.present.pictures.drawing.MANY": 1_000,
    }
