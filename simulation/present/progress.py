"""How far is the work, and how long does the rest take? One quiet line on a terminal, a line now and then for any other reader.

Neither is on standard output. The time is learnt from what is done, the first quarter of a second of it to begin with.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager

#: Seconds of work below which nothing is told, from which a time is learnt, and between two lines. Planning values.
SHORT, LEARNT, EVERY = 3.0, 0.2, 10.0


def progress_words(done: int, total: int, speed: float | None, what: str = "runs") -> str:
    """Return how far the runs are: their share, their number, runs a second and the time left.

    Parameters
    ----------
    done, total : int
    speed : float or None
        How many a second, of late; None or zero where that is not known.
    what : str
        What is done.

    Examples
    --------
    >>> progress_words(180, 400, 35.0)
    '45 %, 180 of 400 runs, 35 a second, 6 s left'
    """
    words = [f"{100 * done // max(total, 1)} %", f"{done:,} of {total:,} {what}"]
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


class ProgressLines:
    """Tells a reader who is no terminal how long it takes, as soon as that is known, and then how far it is, every ten seconds.

    Parameters
    ----------
    say : callable
        Takes a line.
    what : str
        What is done.
    workers : int
        Processes that take over what is not soon done: the first part is done by one.
    announced : bool
        Whether it was said already how long it takes.
    clock : callable
        Returns seconds.
    """

    def __init__(
        self,
        say: Callable[[str], None],
        what: str = "runs",
        workers: int = 1,
        announced: bool = False,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._say, self._what, self._workers, self._clock = say, what, workers, clock
        self._announced = announced
        self._since: tuple[float, int] | None = None

    def __call__(self, done: int, total: int, what: str = "") -> None:
        """Take note of how many are done of how many; of something else than so far where `what` says so."""
        now = self._clock()
        if what and what != self._what:
            self._what, self._since, self._announced = what, None, False
        if self._since is None:  # what was kept before is there as well, so the time is learnt from now on
            self._since = now, done
            return
        seconds, more = now - self._since[0], done - self._since[1]
        if more <= 0 or seconds < (EVERY if self._announced else LEARNT):
            return
        left = (total - done) * seconds / more
        if self._announced:
            if left > SHORT:
                self._say(progress_words(done, total, more / seconds, self._what))
        elif left > SHORT:
            time_left = _duration(_rounded(left / self._workers)).removesuffix(" 0 s")
            self._say(f"about {time_left} for {total - done:,} {self._what}")
        self._announced, self._since = True, (now, done)


def _rounded(seconds: float) -> float:
    """Return a time of which little is known yet as it is told: to the second below ten, else by fives, and by minutes."""
    step = 1.0 if seconds < 10.0 else 5.0 if seconds < 60.0 else 60.0
    return max(1.0, round(seconds / step)) * step


@contextmanager
def progress_line(what: str = "runs") -> Iterator[Callable[..., None]]:
    """Give a function that is told what `ProgressLines` is told, and shows it until the block ends."""
    with ExitStack() as shown:
        lines: list[Callable[..., None]] = []

        def advance(done: int, total: int, of: str = "") -> None:
            if not lines:  # what draws the line is not loaded before there is something to tell
                lines.append(shown.enter_context(_line_of_terminal(what)))
            lines[0](done, total, of)

        yield advance


@contextmanager
def _line_of_terminal(what: str) -> Iterator[Callable[..., None]]:
    from rich.console import Console
    from rich.progress import Progress, ProgressColumn, Task
    from rich.text import Text

    counted = [what]

    class Line(ProgressColumn):
        def render(self, task: Task) -> Text:
            words = "" if task.total is None else progress_words(int(task.completed), int(task.total), task.speed, counted[0])
            return Text(words, no_wrap=True)

    with Progress(Line(), console=Console(stderr=True), transient=True) as line:
        work = line.add_task("work", total=None)

        def advance(done: int, total: int, what: str = "") -> None:
            if what and what != counted[0]:
                counted[0] = what
                line.reset(work)
            line.update(work, completed=done, total=total)

        yield advance
