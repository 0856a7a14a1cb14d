"""A console on which control characters in what is printed are shown, not sent: apart, because it takes long to load."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterable
from typing import Any

from rich.console import Console
from rich.segment import Segment

from simulation.present.plain_text import plain


class Paper(io.StringIO):
    """What a console prints on before it goes to standard output: it knows the letters that this has, and nothing can fail."""

    encoding = property(lambda self: getattr(sys.stdout, "encoding", None) or "utf-8")


class PlainConsole(Console):
    """A console on which nothing that is printed reaches the terminal as a control character."""

    def render(self, renderable: Any, options: Any = None) -> Iterable[Segment]:
        """Return the segments of what is printed, each of them plain; the console's own colours are not in the text."""
        for segment in super().render(renderable, options):
            yield segment if segment.control else Segment(plain(segment.text), segment.style)
