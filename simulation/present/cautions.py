"""What must a reader not forget, whatever the numbers say?"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

CAUTIONS = (
    "A planning aid: the mat system's own technical manual, local codes and licensed engineers decide.",
    "A mat weighs about 140 to 155 lb, 64 to 70 kg: lifting limits, hearing protection, heat and traffic rules apply.",
    "Default rates are planning values; replace them with your own records.",
)


def print_cautions(console: Console) -> None:
    """Print them as the last lines of an answer."""
    console.print()
    for caution in CAUTIONS:
        console.print(f"* {caution}")
