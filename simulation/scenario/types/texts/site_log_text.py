"""A site log as it was handed in, before anybody has read it."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class SiteLog:
    """A log as it was handed in.

    Attributes
    ----------
    file : str
        The name it goes by in messages.
    text : str
    at : str
        The moment at which it is read, as a date or a date and time; empty for the end of its last line.
    teaches : bool
        Whether runs learn from it, or only begin where it says.
    """

    file: str = field(compare=False)
    text: str
    at: str = ""
    teaches: bool = True
