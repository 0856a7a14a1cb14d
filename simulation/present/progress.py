"""How far the runs are: one quiet line on a terminal, gone when they are done, and never on standard output."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager


def progress_words(done: int, total: int, speed: float | None) -> str:
    """Return how far the runs are: their share, their number, runs a second and the time left.

    Parameters
    ----------
    done, total : int
        Runs.
    speed : float or None
        Runs a second, of late; None or zero where that is not known.

    Examples
    --------
    >>> progress_words(180, 400, 35.0)
    '45 %, 180 of 400 runs, 35 a second, 6 s left'
    """
    words = [f"{100 * done // max(total, 1)} %", f"{done:,} of {total:,} runs"]
    if speed:
        words += [
            f"{speed:.0f} a second" if speed >= 10 else f"{speed:.1f} a second",
            f"{_duration((total - done) / speed)} left",
        ]
    return ", ".join(words)


def _duration(seconds: float) -> str:
    """Return a time in its two largest units."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    minutes, hours = whole // 60, whole // 3600
    return f"{minutes} min {whole % 60} s" if minutes < 60 else f"{hours} h {minutes % 60} min"


@contextmanager
def progress_line() -> Iterator[Callable[[int, int], None]]:
    """Give a function that is told runs done and runs asked, and shows them until the block ends."""
    from rich.console import Console
    from rich.progress import Progress, ProgressColumn, Task
    from rich.text import Text

    class Line(ProgressColumn):
        def render(self, task: Task) -> Text:
            words = "" if task.total is None else progress_words(int(task.completed), int(task.total), task.speed)
            return Text(words, no_wrap=True)

    with Progress(Line(), console=Console(stderr=True), transient=True) as line:
        runs = line.add_task("runs", total=None)
        yield lambda done, total: line.update(runs, completed=done, total=total)
