"""An answer as a person reads it on a terminal: what it rests on first, the answer last, where the eye is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.present.answer import Answer, Block, Inputs, Part, Points, Table, Terms, Text, Verbatim
from simulation.present.renderers.table_width import fitted

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table as Drawn


def print_answer(answer: Answer, console: Console, full: bool = False, more: str = "") -> None:
    """Print an answer.

    Parameters
    ----------
    answer : Answer
    console : Console
        It must not read markup, because names are the planner's own words.
    full : bool
        Whether all parts are printed, not the short ones alone.
    more : str
        Where the rest is, for the short form.
    """
    console.print(f"{answer.title}: {answer.about}", style="bold")
    for warning in answer.warnings:
        console.print(f"Read first: {warning}")
    for part in answer.parts:
        if full:
            _print_part(part, console)
        elif part.short:
            _print_part(replace(part, blocks=tuple(map(_shortened, part.blocks))), console)
    if answer.lines or answer.cautions:
        console.print()
    for line in answer.lines:
        console.print(line, soft_wrap=line.startswith("keystrip "))  # a command broken into two lines cannot be copied
    if answer.cautions:
        console.print(" ".join(answer.cautions), style="italic")
    if more and not full:
        console.print(more, style="italic")
    console.print()
    console.print(answer.headline, style="bold")


def _shortened(block: Block) -> Block:
    """Return a block as the short form has it: of a long table, its first rows and its first note."""
    if not isinstance(block, Table) or block.short is None:
        return block
    left = len(block.rows) - block.short
    notes = (*block.notes[:1], *([f"{left} more in the full table."] if left > 0 else []))
    return replace(block, rows=block.rows[: block.short], notes=notes)


def _print_part(part: Part, console: Console) -> None:
    shown = [block for block in part.blocks if isinstance(block, Text | Points | Terms | Table | Inputs | Verbatim)]
    if not shown:
        return
    console.print()
    first = shown[0]
    if not isinstance(first, Table) or first.title != part.title:
        console.print(part.title, style="bold")
    for block in shown:
        _print_block(block, console, part.title)


def _print_block(block: Block, console: Console, title: str) -> None:
    match block:
        case Text(text, strong):
            console.print(text, style="bold" if strong else "")
        case Points(items):
            for item in items:
                console.print(f"* {item}")
        case Terms():
            _print_table(console, _drawn_terms(block))
        case Table():
            console.print(block.title, style="bold" if block.title == title else "italic")
            _print_table(console, _drawn(block))
            for note in block.notes:
                console.print(note, style="italic")
        case Inputs(table, _):
            _print_block(table, console, title)
        case Verbatim(_, written):
            console.print(written, soft_wrap=True)
        case _:  # pictures and sheets have no place on a terminal
            return


def _drawn(table: Table) -> Drawn:
    """Return a table in the one look for all: a title, columns under a rule."""
    from rich import box
    from rich.table import Table as Drawn

    drawn = Drawn(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    first, *others = table.columns
    drawn.add_column(first, overflow="fold", min_width=8)
    for index, name in enumerate(others, 1):
        drawn.add_column(name, justify="left" if index in table.words else "right", no_wrap=True)
    for index, row in enumerate(table.rows):
        drawn.add_row(*row, style="bold" if index in table.strong else None, end_section=index in table.ends)
    return drawn


def _drawn_terms(terms: Terms) -> Drawn:
    """Return a table of two columns without heads, a term and what is said of it."""
    from rich import box
    from rich.table import Table as Drawn

    drawn = Drawn(box=box.SIMPLE, pad_edge=False, show_edge=False, show_header=False)
    drawn.add_column(max_width=24, overflow="fold")
    drawn.add_column(overflow="fold")
    for term, said in terms.rows:
        drawn.add_row(term, said)
    return drawn


def _print_table(console: Console, table: Drawn) -> None:
    """Print a table; what of it has no room beside its first column goes on below."""
    for index, part in enumerate(fitted(table, console.width)):
        if index:
            console.print()
        console.print(part)
