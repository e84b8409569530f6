"""A column of prices: numbers with or without a sign, all in one money."""

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from winrate_tools.ingest.cells.counts import read_plain_number
from winrate_tools.ingest.cells.currencies import amount
from winrate_tools.ingest.cells.numbers import read_numbers, tokenise
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.view import Part, View, rows_where, word

ONE_MONEY = "write the whole column in one money"


def read_prices(view: View, role: str = "price") -> Part:
    """Read a column of prices: amounts from 0, NaN where unknown or wrong.

    Raises
    ------
    MappingError
        If nothing tells the decimal mark from a grouping mark.
    """
    cells = view.sheet.grid.column(view.where[role])
    numbers, moneys = zip(*map(amount, cells), strict=True)
    tokens = [tokenise(number) for number in numbers]
    sheet = view.sheet
    column = read_numbers(numbers, tokens, file_mark=sheet.decimal, told=sheet.told)
    part = read_plain_number(view, role, least=0, column=column)
    findings = [*part.findings, *_two_moneys(view, role, moneys)]
    for row in rows_where(column.percent):
        message = f"{word(role)} must be an amount of money, got {view.cell(row, role)}"
        findings.append(view.finding(row, role, message))
    values = np.where(column.percent, np.nan, part.numbers[role])
    return Part({role: values}, tuple(findings), part.notes)


def _two_moneys(view: View, role: str, moneys: Sequence[str | None]) -> Iterator[Finding]:
    """Report prices in another money than most."""
    counts = Counter(money for money in moneys if money)
    if len(counts) < 2:
        return
    usual = counts.most_common(1)[0][0]
    first = moneys.index(usual)
    for row, money in enumerate(moneys):
        if money not in {None, usual}:
            message = (
                f"{word(role)} must be in one money, got {view.cell(row, role)} beside "
                f"{view.cell(first, role)} on {view.line_of(first)}"
            )
            yield view.finding(row, role, message, ONE_MONEY)
