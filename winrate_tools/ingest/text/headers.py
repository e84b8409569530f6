"""Which row is the header: the fullest row of words above the first row of numbers."""

from collections.abc import Sequence

from winrate_tools.ingest.cells.numbers import is_number, is_unknown
from winrate_tools.ingest.roles.vocabulary import role_of

SAMPLE = 300


def find_header(rows: Sequence[Sequence[str]]) -> int | None:
    """Find the header among rows that are not blank, None if no row above the data can be one.

    Examples
    --------
    >>> find_header([["Fair", "", ""], ["Card", "Games", "Wins"], ["Ash Vine", "12", "7"]])
    1
    >>> find_header([["Ash Vine", "12", "7"], ["Tin Moth", "9", "4"]])
    """
    numbers = [sum(map(is_number, row)) for row in rows[:SAMPLE]]
    if not any(numbers):
        return max(range(len(numbers)), key=lambda at: (*_fullness(rows[at]), -at))
    above = _rows_above_data(numbers)
    words = [at for at in range(above) if _may_be_header(rows[at])]
    return max(words, key=lambda at: (*_fullness(rows[at]), at), default=None)


def _rows_above_data(numbers: Sequence[int]) -> int:
    """Count the rows before the first that holds numbers as most rows do."""
    typical = sorted(filter(None, numbers))
    twice = typical[(len(typical) - 1) // 2] + typical[len(typical) // 2]
    return next(at for at, count in enumerate(numbers) if 4 * count > twice)


def _may_be_header(row: Sequence[str]) -> bool:
    """Tell a header from a lone title, and from a card whose numbers are not known."""
    said = [cell for cell in row if cell.strip()]
    return len(said) > 1 and 2 * sum(map(is_unknown, said)) < len(said)


def _fullness(row: Sequence[str]) -> tuple[int, int]:
    """Count cells that say something, and those whose word we know."""
    full = [cell for cell in row if not is_unknown(cell)]
    return len(full), sum(role_of(cell) is not None for cell in full)
