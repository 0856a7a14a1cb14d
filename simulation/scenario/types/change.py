"""One key of a scenario that is to be otherwise, as a planner writes it: absolute, relative, or a block once more."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

_ADD = re.compile(r"[+-]\d{1,6}")
_TIMES = re.compile(r"[x×](\d+(?:\.\d*)?|\.\d+)")
_COPY = re.compile(r"copy of (\S.*)")
_CREWS = re.compile(r"crews of (\d{1,7}(?: \+ \d{1,7})*)")


@dataclass(frozen=True)
class Change:
    """One key of a scenario, and what it is to be instead.

    Attributes
    ----------
    address : str
    text : str
        The value as a scenario would hold it, where a word or a quantity needs no quotes; or a relative change.
    """

    address: str
    text: str

    def __str__(self) -> str:
        return f"{self.address}={self.text}"

    @property
    def factor(self) -> float | None:
        """What it multiplies by, if it does."""
        match = _TIMES.fullmatch(self.text)
        return float(match[1]) if match else None

    @property
    def added(self) -> int | None:
        """What it adds, if it does; numbers of TOML may have a plus sign, but here they add."""
        return int(self.text) if _ADD.fullmatch(self.text) else None

    @property
    def copied(self) -> str | None:
        """The address of the block that it puts into the scenario once more, if it does."""
        match = _COPY.fullmatch(self.text)
        return match[1] if match else None

    @property
    def crews(self) -> tuple[int, ...]:
        """The people of the crews that it puts in the place of the scenario's, if it does."""
        match = _CREWS.fullmatch(self.text)
        return tuple(map(int, match[1].split(" + "))) if match else ()

    @property
    def value(self) -> Any:
        """What it sets, if it does."""
        try:
            return tomllib.loads(f"value = {self.text}")["value"]
        except tomllib.TOMLDecodeError:
            return self.text
