"""How does a table stand on the terminal? One look for all: a title, columns under a rule, and notes below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.table_width import fitted

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table


def new_table(text: str, *numbers: str) -> Table:
    """Return an empty table with one column of text and others of numbers."""
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    table.add_column(text, overflow="fold", min_width=8)
    for name in numbers:
        table.add_column(name, justify="right", no_wrap=True)
    return table


def terms() -> Table:
    """Return an empty table of two columns, a term and what is said of it."""
    from rich import box
    from rich.table import Table

    table = Table(box=box.SIMPLE, pad_edge=False, show_edge=False, show_header=False)
    table.add_column(max_width=24, overflow="fold")
    table.add_column(overflow="fold")
    return table


def print_table(console: Console, table: Table) -> None:
    """Print a table; what of it has no room beside its first column goes on below."""
    for place, part in enumerate(fitted(table, console.width)):
        if place:
            console.print()
        console.print(part)
