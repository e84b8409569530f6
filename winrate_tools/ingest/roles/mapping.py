"""Roles that the user names: checked, and turned into column numbers."""

import difflib
import re
from collections.abc import Collection, Mapping
from numbers import Integral

from winrate_tools.errors import MappingError, SettingError
from winrate_tools.ingest.checks.findings import excerpt, first_few
from winrate_tools.ingest.roles.vocabulary import normalise
from winrate_tools.ingest.text.grid import Grid

ColumnChoice = str | int
MOST_LISTED = 40
"""Columns that a message lists."""
NO_COLUMN = 0
"""Column number that leaves a role empty on purpose."""


def resolve_mapping(
    columns: Mapping[str, ColumnChoice], grid: Grid, roles: Collection[str]
) -> dict[str, int]:
    """Turn headers and numbers into column numbers.

    Parameters
    ----------
    columns : mapping of str to (str or int)
        Role to a header or a number from 1; 0 leaves the role empty.
    grid : Grid
        The table.
    roles : collection of str
        Roles that this kind of table knows.

    Returns
    -------
    dict of str to int
        Role to column number.

    Raises
    ------
    SettingError
        If a role is unknown, or no header or number is told for it.
    MappingError
        If a column is not there, is named by a repeated header, or is given two roles.
    """
    if not isinstance(columns, Mapping):
        msg = f'columns must say which is which, as {{"games": "Plays"}} does, got {columns!r}'
        raise SettingError(msg)
    for role, choice in columns.items():
        if isinstance(choice, bool) or not isinstance(choice, str | Integral):
            msg = f"{role!r} must be a header or the number of a column, got {choice!r}"
            raise SettingError(msg)
        if role not in roles:
            msg = f"no role {role!r}{did_you_mean(role, roles)}; roles: {', '.join(roles)}"
            raise SettingError(msg)
    numbers = {role: _number(role, choice, grid) for role, choice in columns.items()}
    by_column: dict[int, str] = {}
    for role, number in numbers.items():
        if number and number in by_column:
            msg = (
                f"{grid.name}: column {number} ({grid.label(number)}) cannot be both "
                f"{by_column[number]} and {role}"
            )
            raise MappingError(msg)
        by_column[number] = role
    return numbers


def did_you_mean(word: str, known: Collection[str]) -> str:
    """Suggest the nearest known word, or nothing."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    return f", did you mean {close[0]!r}?" if close else ""


def _number(role: str, choice: ColumnChoice, grid: Grid) -> int:
    if isinstance(choice, str):
        for same in (str, normalise):
            wanted = same(choice.strip())
            at = [n for n, header in enumerate(grid.headers, 1) if same(header) == wanted]
            if len(at) == 1:
                return at[0]
            if at and wanted:
                places = " and ".join(map(str, at))
                msg = (
                    f"{grid.name}: the header {choice!r} stands over columns {places}; "
                    f"name one by its number, for example:\n--map {role}={at[0]}"
                )
                raise MappingError(msg)
        if not re.fullmatch(r"\d{1,9}", choice.strip(), re.ASCII):
            raise MappingError(_no_header(role, choice, grid))
        choice = int(choice)
    if not NO_COLUMN <= choice <= len(grid.headers):
        msg = f"{grid.name}: column {choice} for {role}; there are {len(grid.headers)} columns"
        raise MappingError(msg)
    return choice


def _no_header(role: str, choice: str, grid: Grid) -> str:
    headers = [header for header in grid.headers if header]
    close = difflib.get_close_matches(
        choice, headers, n=1, cutoff=0.6
    ) or difflib.get_close_matches(role, headers, n=1, cutoff=0)
    number = grid.headers.index(close[0]) + 1 if close else 1
    listed = first_few(
        [f"{n} {excerpt(grid.label(n))!r}" for n in range(1, len(grid.headers) + 1)],
        MOST_LISTED,
    )
    suggestion = did_you_mean(choice, headers)
    return (
        f"{grid.name}: no column {excerpt(choice)!r}{suggestion}; columns: {listed}\n"
        f"  name it by header or number, for example:\n--map {role}={number}"
    )
