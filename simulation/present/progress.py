"""How far is the run: a bar with rate and time left, on the terminal only and never on standard output."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_bar() -> Iterator[Callable[[int, int], None]]:
    """Give a function that is told runs done and runs asked, and shows them until the block ends."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, ProgressColumn, Task, TextColumn, TimeRemainingColumn
    from rich.text import Text

    class Rate(ProgressColumn):
        """Runs a second."""

        def render(self, task: Task) -> Text:
            return Text(f"{task.speed:.0f} builds/s" if task.speed else "")

    columns = (TextColumn("building"), BarColumn(), MofNCompleteColumn(), Rate(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("building", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
