"""What reads the value of a key? It stands in the type of a field, as a validator of pydantic's would.

It says itself what is built of it: pydantic reads the signature of each validator of its own, which takes longer than all else
that a scenario is built of.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler
from pydantic_core.core_schema import CoreSchema, no_info_before_validator_function


@dataclass(frozen=True)
class Reads:
    """Reads a value before its type is asked for.

    Attributes
    ----------
    read : callable
        Returns what is inside for what stands in a scenario, or refuses it.
    kind : str
        Of quantity: a key of `units.KINDS`; empty where it is none.
    """

    read: Callable[..., Any]
    kind: str = ""

    def __call__(self, value: Any) -> Any:
        """Return what is inside for what stands in a scenario."""
        return self.read(value)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Return what is built of it around the field's type."""
        return no_info_before_validator_function(self.read, handler(source))
