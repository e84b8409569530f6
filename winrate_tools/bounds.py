"""What the columns of a checked table must keep to, whatever its rows stand for.

A table has one tuple of names, which `row` tells: the name of the field that holds them.
"""

from collections.abc import Callable, Iterable, Sequence

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

MOST = 1e15
"""Largest count taken: whole numbers up to here are exact in double precision."""


def numbers(values: object) -> Numbers | None:
    """Copy a column of numbers into one that nobody can write to; None stays None."""
    if values is None:
        return None
    column = np.array(values, dtype=np.float64)
    column.setflags(write=False)
    return column


def demand_columns(table: object, row: str, columns: Iterable[str]) -> None:
    """Refuse columns of another length than the names, and blank names.

    Parameters
    ----------
    table : object
        Has a field for each column, None where it has no such column.
    row : str
        Field that holds the names, such as ``"card"``.
    columns : iterable of str
        Fields to check.

    Raises
    ------
    CountError
        If a column has another length, or a name is blank.
    """
    names: Sequence[str] = getattr(table, row)
    for name in columns:
        column = getattr(table, name)
        if column is not None and np.shape(column) != (len(names),):
            msg = f"{name} must have one entry a row ({len(names)}), got {len(column)}"
            raise CountError(msg)
    if any(not name.strip() for name in set(names)):
        article = "an" if row[0] in "aeiou" else "a"
        msg = f"every row needs {article} {row} name, got a blank one"
        raise CountError(msg)


def demand_count(table: object, row: str, name: str) -> None:
    """Refuse a column that holds anything but whole numbers from 0, or unknown."""

    def broken(count: Numbers) -> Flags:
        fraction = np.not_equal(count, np.floor(count)) & ~np.isnan(count)
        return (count < 0) | (count > MOST) | fraction

    demand(table, row, name, broken, "a whole number from 0")


def demand(
    table: object, row: str, name: str, broken: Callable[[Numbers], Flags], wanted: str
) -> None:
    """Refuse a column where a rule is broken; the message names the first such row."""
    column = getattr(table, name)
    if column is None:
        return
    (places,) = np.nonzero(broken(column))
    if len(places):
        where, value = getattr(table, row)[places[0]], column[places[0]]
        msg = f"{where!r}: {name} must be {wanted}, got {value:g}"
        raise CountError(msg)


def demand_pair(table: object, row: str, part: str, whole: str) -> None:
    """Refuse parts larger than their wholes, and known parts of unknown wholes."""
    parts, wholes = getattr(table, part), getattr(table, whole)
    if parts is None or wholes is None:
        return
    names = getattr(table, row)
    (places,) = np.nonzero(parts > wholes)
    if len(places):
        i = places[0]
        msg = f"{names[i]!r}: {part} {parts[i]:.0f} is more than {whole} {wholes[i]:.0f}"
        raise CountError(msg)
    if (places := np.nonzero(~np.isnan(parts) & np.isnan(wholes))[0]).size:
        msg = f"{names[places[0]]!r}: {part} known without {whole}"
        raise CountError(msg)
