"""Every error this package raises on purpose.

WinrateError                 catch this one to catch them all
├── TableError               a file cannot be read as the table it claims to be
│   └── MappingError         nobody can tell yet which column holds what
├── SettingError             a setting, option or configuration key makes no sense
├── OutputError              a result cannot be written where it was asked for
├── MissingExtraError        an optional library is needed and not installed
├── CountError               wins and games that no match could have produced
├── LevelError               a probability level outside (0, 1)
└── FitError                 a model cannot be fitted to these numbers

Anything else that escapes is a bug of ours, and keeps its traceback.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a table, with its place and its mend.

    Attributes
    ----------
    place : str
        ``file:line:cell`` (or ``file:line``, or ``file``); lines are physical, from 1.
    message : str
        What was wanted and what came, in one lower-case line.
    line : str
        The raw line as it stands in the file, or "" where no line is at fault.
    start, end : int
        The cell's place inside `line`, for the caret; equal where there is no cell.
    fix : str
        What the user can do about it.
    """

    place: str
    message: str
    line: str = ""
    start: int = 0
    end: int = 0
    fix: str = ""


class WinrateError(Exception):
    """Base of the errors a user can put right.

    Examples
    --------
    >>> from winrate_tools.tables import CardTable
    >>> try:
    ...     CardTable(["Ash Vine"], games=[10], wins=[11])
    ... except WinrateError as error:
    ...     print(error)
    'Ash Vine': wins 11 is more than games 10
    """


class TableError(WinrateError):
    """A file cannot be read as the table it claims to be.

    Parameters
    ----------
    message : str
        One line that sums up the trouble.
    problems : sequence of Problem, optional
        Every problem found in the file, in file order.
    """

    def __init__(self, message: str, problems: Sequence[Problem] = ()) -> None:
        super().__init__(message)
        self.problems = tuple(problems)


class MappingError(TableError):
    """Nobody can tell yet which column holds what; the message ends in a line to paste.

    Parameters
    ----------
    message : str
        What is open, the columns, and a line to paste.
    problems : sequence of Problem, optional
        Problems of the file, in file order.
    candidates : sequence of mapping of str to int, optional
        Possible answers, role to column number from 1, likeliest first.
    """

    def __init__(
        self,
        message: str,
        problems: Sequence[Problem] = (),
        *,
        candidates: Sequence[Mapping[str, int]] = (),
    ) -> None:
        super().__init__(message, problems)
        self.candidates = tuple(candidates)


class SettingError(WinrateError, ValueError):
    """A setting, option or configuration key makes no sense."""


class OutputError(WinrateError):
    """A result cannot be written where it was asked for."""


class MissingExtraError(WinrateError):
    """An optional library is needed and not installed."""


class CountError(WinrateError, ValueError):
    """Wins and games that no match could have produced."""


class LevelError(WinrateError, ValueError):
    """A probability level outside (0, 1)."""


class FitError(WinrateError):
    """A model cannot be fitted to these numbers."""
