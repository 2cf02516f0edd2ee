"""Tables in files: Parquet (`.parquet`) and Arrow (`.arrow`), in the form that the name ends with.

They are the tables of the program's `--batch`. Columns hold numbers (NaN where nothing stands), whole numbers, or words. The
same table gives the same bytes.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from . import _boardwise

__all__ = ["Columns", "read_table", "write_table"]


class Columns(Mapping[str, npt.NDArray[Any]]):
    """Columns of equal length by name, also as attributes: numbers, whole numbers or words.

    Give it to a data frame of any library as it is.
    """

    def __init__(self, columns: Mapping[str, npt.ArrayLike]) -> None:
        self._columns = {name: _column(name, column) for name, column in columns.items()}
        if len({len(column) for column in self._columns.values()}) > 1:
            raise ValueError("all columns must have the same length")

    def __getitem__(self, name: str) -> npt.NDArray[Any]:
        return self._columns[name]

    def __getattr__(self, name: str) -> npt.NDArray[Any]:
        columns: dict[str, npt.NDArray[Any]] = self.__dict__.get("_columns", {})
        if name not in columns:
            raise AttributeError(f"no column {name!r}: there are {', '.join(columns)}")
        return columns[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._columns)

    def __len__(self) -> int:
        return len(self._columns)

    def __repr__(self) -> str:
        rows = len(next(iter(self._columns.values()), ()))
        return f"Columns({rows} rows: {', '.join(self._columns)})"


def _column(name: str, column: npt.ArrayLike) -> npt.NDArray[Any]:
    cells = np.asarray(column)
    if cells.ndim != 1:
        raise ValueError(f"{name}: give a column of cells, not an array of {cells.ndim} dimensions")
    if cells.dtype.kind in "US":
        return cells.astype(np.str_)
    if cells.dtype.kind in "iub":
        return cells.astype(np.int64)
    if cells.dtype.kind == "f":
        return cells.astype(np.float64)
    raise ValueError(f"{name}: holds {cells.dtype}; give numbers or words")


def write_table(
    path: str | os.PathLike[str], columns: Mapping[str, npt.ArrayLike], *, replace: bool = False
) -> None:
    """Writes a table. The file is there whole or not at all; one of that name stays, and is refused, unless `replace`."""
    cells = [
        (name, column.tolist() if column.dtype.kind == "U" else np.ascontiguousarray(column))
        for name, column in Columns(columns).items()
    ]
    _boardwise.write_table(os.fspath(path), cells, replace)


def read_table(path: str | os.PathLike[str]) -> Columns:
    """Reads a table. A column of whole numbers in which some are missing comes back as numbers."""
    return Columns(
        {
            name: np.array(column, dtype=np.str_) if isinstance(column, list) else column
            for name, column in _boardwise.read_table(os.fspath(path)).items()
        }
    )
