"""A table of runs: columns of numbers by name, without the library of tables, which takes a fifth of a second to load.

What can be asked of it is a part of what a table of pandas can be asked, and is answered alike.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Self, overload

import numpy as np

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray


class RunTable:
    """One row for each run, one column for each of its numbers.

    Parameters
    ----------
    columns : mapping of str to array
        By name, all of one length: numbers of runs as integers, all else as floats.
    """

    def __init__(self, columns: Mapping[str, NDArray[Any]]) -> None:
        self._columns = dict(columns)

    @property
    def columns(self) -> tuple[str, ...]:
        """Names, in order."""
        return tuple(self._columns)

    @property
    def empty(self) -> bool:
        """Whether there is no run."""
        return not len(self)

    def __len__(self) -> int:
        return len(next(iter(self._columns.values())))

    @overload
    def __getitem__(self, asked: str) -> NDArray[Any]: ...

    @overload
    def __getitem__(self, asked: NDArray[np.bool_]) -> Self: ...

    def __getitem__(self, asked: str | NDArray[np.bool_]) -> NDArray[Any] | Self:
        """Return a column by its name, or the runs that are marked."""
        if isinstance(asked, str):
            return self._columns[asked]
        return self.take(np.flatnonzero(asked))

    def take(self, places: Sequence[int] | NDArray[np.intp]) -> Self:
        """Return the runs at some places, in the order in which these are given."""
        return type(self)({name: column[places] for name, column in self._columns.items()})

    def head(self, count: int) -> Self:
        """Return the first runs."""
        return type(self)({name: column[:count] for name, column in self._columns.items()})

    def without(self, names: Sequence[str]) -> Self:
        """Return the table without some columns."""
        left_out = set(names)
        return type(self)({name: column for name, column in self._columns.items() if name not in left_out})

    def to_pandas(self) -> pd.DataFrame:
        """Return it as a table of pandas."""
        import pandas as pd

        return pd.DataFrame(self._columns)
