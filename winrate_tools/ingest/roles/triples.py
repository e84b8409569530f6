"""Columns that prove their roles by arithmetic: whole numbers a <= b, and c with a / b = c."""

from collections.abc import Iterator
from itertools import permutations
from typing import NamedTuple

import numpy as np

from winrate_tools.ingest.cells.numbers import NumberColumn
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.tables import Flags, Numbers

SAMPLE = 2000
GOOD_SHARE = 0.9
FEWEST_ROWS = 3
SCREEN_ROWS = 32
MOST_COLUMNS = 120
"""Columns of whole numbers beyond which headers have to say what is what."""
CLOSE = 1e-7
"""Numbers stored in single precision are off by up to 3e-8."""


class Triple(NamedTuple):
    """Three columns, by number from 1, of which the first over the second gives the third.

    Attributes
    ----------
    wins, games, rate : int
        Column numbers.
    agree, rows : int
        Rows that agree, of the rows looked at that know all three.
    unit : str
        The last printed digit of the rate, such as ``"0.1"``.
    """

    wins: int
    games: int
    rate: int
    agree: int
    rows: int
    unit: str


def find_triples(sheet: Sheet) -> list[Triple]:
    """Find every triple of number columns that could be wins, games and win rate.

    They come in order of their columns; at least 9 in 10 rows agree, and at least 3.
    """
    rows = slice(None, None, max(1, -(-len(sheet.grid.rows) // SAMPLE)))
    columns = {number: _cut(sheet.read(number), rows) for number in sheet.tokens}
    counts = {n: column.values for n, column in columns.items() if _is_count(column)}
    rates = {n: rate for n, column in columns.items() if (rate := _Rate.of(column))}
    if len(counts) > MOST_COLUMNS or not rates:
        return []
    screen = _Screen.of(rates)
    return [
        triple
        for wins, games in permutations(counts, 2)
        if _fits_within(counts[wins], counts[games])
        for triple in _with_rates(wins, games, counts, screen)
    ]


class _Rate(NamedTuple):
    values: Numbers
    half_units: Numbers
    unit: str

    @classmethod
    def of(cls, column: NumberColumn) -> "_Rate | None":
        known = column.values[~np.isnan(column.values)]
        if not len(known) or known.min() < 0 or np.mean(known > 100) > 1 - GOOD_SHARE:
            return None
        percent = bool(column.percent.any() or np.mean(known > 1) > 1 - GOOD_SHARE)
        scale = 100 if percent else 1
        digits = int(column.digits.max())
        half = np.power(10.0, -column.digits) / (2 * scale)
        return cls(column.values / scale, half, f"{10.0**-digits:.{digits}f}")


class _Screen(NamedTuple):
    """All rates on a few rows, to pass over at once those that no ratio can be."""

    rates: dict[int, _Rate]
    rows: slice
    values: Numbers
    slack: Numbers

    @classmethod
    def of(cls, rates: dict[int, _Rate]) -> "_Screen":
        size = len(next(iter(rates.values())).values)
        rows = slice(None, None, max(1, size // SCREEN_ROWS))
        values = np.stack([rate.values[rows] for rate in rates.values()])
        slack = np.stack([rate.half_units[rows] for rate in rates.values()]) + CLOSE
        return cls(rates, rows, values, slack)

    def near(self, ratio: Numbers) -> dict[int, _Rate]:
        """Return the rates that agree with a ratio in half of the few rows or more."""
        off = np.abs(ratio[self.rows] - self.values)
        agree, known = (off <= self.slack).sum(axis=1), (~np.isnan(off)).sum(axis=1)
        likely = 2 * agree >= known
        return {
            n: self.rates[n] for n, is_near in zip(self.rates, likely, strict=True) if is_near
        }


def _cut(column: NumberColumn, rows: slice) -> NumberColumn:
    return NumberColumn(column.values[rows], column.digits[rows], column.percent[rows])


def _is_count(column: NumberColumn) -> bool:
    known = column.values[~np.isnan(column.values)]
    if not len(known) or column.percent.any():
        return False
    return bool(np.mean((known >= 0) & (known == np.floor(known))) > GOOD_SHARE)


def _fits_within(part: Numbers, whole: Numbers) -> bool:
    known = ~np.isnan(part) & ~np.isnan(whole)
    if known.sum() < FEWEST_ROWS:
        return False
    return bool(np.mean(part[known] <= whole[known]) > GOOD_SHARE)


def _with_rates(
    wins: int, games: int, counts: dict[int, Numbers], screen: _Screen
) -> Iterator[Triple]:
    positive = counts[games] > 0
    ratio = np.full(len(positive), np.nan)
    np.divide(counts[wins], counts[games], out=ratio, where=positive)
    for number, rate in screen.near(ratio).items():
        if number in {wins, games}:
            continue
        known = ~np.isnan(ratio) & ~np.isnan(rate.values)
        agree = known & (np.abs(ratio - rate.values) <= rate.half_units + CLOSE)
        if _convinces(ratio, agree, known):
            yield Triple(wins, games, number, int(agree.sum()), int(known.sum()), rate.unit)


def _convinces(ratio: Numbers, agree: Flags, known: Flags) -> bool:
    seen = set(ratio[agree].tolist())
    return len(seen) >= FEWEST_ROWS and bool(agree.sum() >= GOOD_SHARE * known.sum())
