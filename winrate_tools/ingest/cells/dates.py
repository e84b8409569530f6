"""Days of the calendar: written with the year first, or in the order that a column proves."""

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np

from winrate_tools.errors import MappingError
from winrate_tools.ingest.cells.names import NO_LABEL
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.asking import paste_line
from winrate_tools.ingest.roles.kinds import DAY_FIRST, MONTH_FIRST
from winrate_tools.ingest.roles.view import Part, View, rows_where

Order = Literal["day first", "month first"]
TOLD: Mapping[str, Order] = {DAY_FIRST.name: "day first", MONTH_FIRST.name: "month first"}
"""Roles that say in which order a column is written."""
DATE_ROLES = ("date", *TOLD)
WRITE_ISO = "write dates as year-month-day, such as 2026-01-31"
_TIME = r"(?:[T ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?(?:Z|[+-]\d{2}:?\d{2})?)?"
_YEAR_FIRST = re.compile(rf"(\d{{4}})([-/.]?)(\d{{1,2}})\2(\d{{1,2}}){_TIME}", re.ASCII)
_YEAR_LAST = re.compile(rf"(\d{{1,2}})([-/.]) ?(\d{{1,2}})\2 ?(\d{{4}}){_TIME}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Written:
    """A date as it stands in a cell: its year, and two numbers that are month and day.

    Attributes
    ----------
    year, first, second : int
        In the order of the cell, but for the year.
    has_year_first : bool
        Whether month and day follow the year, in this order.
    """

    year: int
    first: int
    second: int
    has_year_first: bool

    @property
    def proves(self) -> Order | None:
        """The order that only this cell's numbers allow."""
        if self.has_year_first or (self.first > 12) == (self.second > 12):
            return None
        return "day first" if self.first > 12 else "month first"

    def day(self, order: Order | None) -> dt.date | None:
        """Return the day, None if the calendar has no such day."""
        month, day = self.first, self.second
        if not self.has_year_first and order == "day first":
            month, day = day, month
        try:
            return dt.date(self.year, month, day)
        except ValueError:
            return None


def written_date(cell: str) -> Written | None:
    """Read a cell as a date, without deciding between day and month.

    Examples
    --------
    >>> written_date("31.1.2026").proves, written_date("2026-01-31 19:30").second
    ('day first', 31)
    >>> written_date("31.1.26")
    """
    if found := _YEAR_FIRST.fullmatch(cell):
        if not found[2] and len(found[3] + found[4]) != 4:
            return None
        return Written(int(found[1]), int(found[3]), int(found[4]), True)
    if found := _YEAR_LAST.fullmatch(cell):
        return Written(int(found[4]), int(found[1]), int(found[3]), False)
    return None


def read_dates(view: View, role: str) -> Part:
    """Read a column of dates, whose role may say in which order it is written.

    Returns
    -------
    Part
        Under ``date`` the ordinal of each day, NaN where it is blank or wrong.

    Raises
    ------
    MappingError
        If day and month could be taken for each other and no cell of the column tells.
    """
    cells = view.sheet.grid.column(view.where[role])
    dates = [written_date(cell) for cell in cells]
    order = TOLD.get(role) or _proven(dates)
    if order is None and (open_row := _first_open(dates)) is not None:
        raise _which_order(view, role, open_row)
    values = np.full(len(cells), np.nan)
    findings = []
    for row, (cell, date) in enumerate(zip(cells, dates, strict=True)):
        day = date.day(order) if date else None
        if day:
            values[row] = day.toordinal()
        elif cell not in NO_LABEL:
            findings.append(_wrong(view, role, row, date, order))
    return Part({"date": values}, tuple(findings), tuple(_notes(view, role, dates, order)))


def order_notes(view: View, dates: np.typing.NDArray[np.float64]) -> Iterator[str]:
    """Say where dates neither rise nor fall all the way down the file."""
    rows = rows_where(~np.isnan(dates))
    steps = np.diff(dates[rows])
    if (steps >= 0).all() or (steps <= 0).all():
        return
    at = int(np.flatnonzero(steps < 0)[0])
    above, below = (dt.date.fromordinal(int(dates[rows[n]])) for n in (at, at + 1))
    yield (
        f"dates are out of order: {below} on {view.line_of(rows[at + 1])} stands below {above}"
    )


def _proven(dates: list[Written | None]) -> Order | None:
    """Return the order that most deciding cells prove, the first one's on a tie."""
    votes = Counter(date.proves for date in dates if date and date.proves)
    return votes.most_common(1)[0][0] if votes else None


def _first_open(dates: list[Written | None]) -> int | None:
    """Return the first row whose day and month could be swapped."""
    return next(
        (
            row
            for row, date in enumerate(dates)
            if date and not date.has_year_first and date.first != date.second
        ),
        None,
    )


def _which_order(view: View, role: str, row: int) -> MappingError:
    cell, number = view.cell(row, role), view.where[role]
    answers = [{name: number} for name in TOLD]
    lines = [
        f"{view.sheet.grid.name}: date {cell} on {view.line_of(row)} could have its day or its "
        "month first, and no cell tells",
        *(f"    {k}  {order}" for k, order in enumerate(TOLD.values(), 1)),
        "  say which, for example:",
        paste_line(view.sheet, answers[0]),
    ]
    return MappingError("\n".join(lines), candidates=answers)


def _wrong(
    view: View, role: str, row: int, date: Written | None, order: Order | None
) -> Finding:
    cell = view.cell(row, role)
    if date is None:
        message = f"a date such as 2026-01-31 was wanted, got {cell!r}"
    elif date.proves and date.proves != order:
        message = f"dates must be written {order} as in the rest, got {cell}"
    else:
        message = f"a day of the calendar was wanted, got {cell}"
    return view.finding(row, role, message, WRITE_ISO)


def _notes(
    view: View, role: str, dates: list[Written | None], order: Order | None
) -> Iterator[str]:
    proof = next((row for row, date in enumerate(dates) if date and date.proves == order), None)
    if role == "date" and order is not None and proof is not None:
        cell = view.cell(proof, role)
        yield f"dates were read {order}, as {cell} on {view.line_of(proof)} shows"
