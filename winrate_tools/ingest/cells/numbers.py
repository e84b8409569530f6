"""What a cell can mean as a number, and which decimal mark a whole file uses."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np

from winrate_tools.ingest.cells.repeats import remembered
from winrate_tools.ingest.checks.findings import excerpt
from winrate_tools.tables import Flags, Numbers

Mark = Literal[".", ","]
MARKS: tuple[Mark, Mark] = (".", ",")
NO_SIGN = 0.0
"""Added to a number, turns minus zero into zero."""
LONGEST = 400
"""Characters that a cell may have to be matched as a number; plain digits may be more."""
MARK_WORDS = {".": "a decimal point", ",": "a decimal comma"}

UNKNOWN = frozenset(
    {"", "-", "--", "---", "\u2013", "\u2014", "?", "??", ".", "...", "…", "*"}
    | {"n/a", "na", "n.a.", "n. a.", "#n/a", "nan", "<na>", "null", "none", "nil", "unknown"}
    | {"n/d", "s/d", "nc", "n.c.", "n. c.", "s.o.", "s. o.", "n.v.", "n. v.", "n. d."}
    | {"n.d.", "nd", "no data", "missing", "#div/0!", "k.a.", "k. a.", "unbekannt", "inconnu"}
)
"""Ways to say that a number is not known; in number columns only."""

_SAME = str.maketrans(
    {
        **{chr(0xFF10 + digit): str(digit) for digit in range(10)},
        **dict.fromkeys("\u00a0\u2002\u2003\u2007\u2008\u2009\u200a\u202f\u3000", " "),
        **dict.fromkeys("\u2018\u2019\u02bc\u00b4`", "'"),
        **dict.fromkeys("\u2212\u2012\ufe63\uff0d", "-"),
        "\uff0e": ".",
        "\uff0c": ",",
        **dict.fromkeys("\uff05\ufe6a\u066a", "%"),
        "\uff0b": "+",
    }
)
_GROUPS = "|".join(rf"[1-9]\d{{0,2}}(?:{gap}\d{{3}})+" for gap in (" ", "'"))
_BODY = {
    ".": re.compile(
        rf"(?=\.?\d)(\d+|{_GROUPS}|[1-9]\d{{0,2}}(?:,\d{{3}})+|[1-9]\d?(?:,\d\d)+,\d{{3}}|)(\.\d*)?",
        re.ASCII,
    ),
    ",": re.compile(rf"(?=,?\d)(\d+|{_GROUPS}|[1-9]\d{{0,2}}(?:\.\d{{3}})+|)(,\d*)?", re.ASCII),
}
_AROUND = re.compile(r"(%?) *([+-]?) ?([\d., ']*[\d.,]) *(%?)", re.ASCII)
_SHORTENED = re.compile(r"[+-]?\d+(?:[.,]\d+)?e[+-]?\d+", re.ASCII | re.IGNORECASE)
_GROUPING = re.compile(r"[ ',.]")


class Token(NamedTuple):
    """A cell that looks like a number.

    Attributes
    ----------
    body : str
        Digits and marks, spaces and apostrophes made alike.
    sign : int
        1 or -1.
    percent : bool
        Whether a percent sign stands beside it.
    marks : tuple of str
        The decimal marks under which it can be read; both for ``1.204``, one for ``52.6``.
    """

    body: str
    sign: int = 1
    percent: bool = False
    marks: tuple[Mark, ...] = MARKS

    @property
    def decides(self) -> Mark | None:
        """The decimal mark that this cell proves."""
        return self.marks[0] if len(self.marks) == 1 else None

    @property
    def is_doubtful(self) -> bool:
        """Whether the cell means one number or another, as ``1.204`` does."""
        return len(self.marks) == 2 and ("." in self.body or "," in self.body)

    def value(self, mark: Mark) -> tuple[float, int]:
        """Read under a decimal mark; return the number and its printed decimals."""
        if self.body.isdigit():
            return self.sign * float(self.body) + NO_SIGN, 0
        whole, _, rest = self.body.partition(mark)
        digits = _GROUPING.sub("", whole)
        return self.sign * float(f"{digits or 0}.{rest or 0}") + NO_SIGN, len(rest)


@remembered
def tokenise(cell: str) -> Token | None:
    """Read a cell as a number, if it is one, without deciding on a decimal mark.

    Examples
    --------
    >>> tokenise("1.234,5 %").decides
    ','
    >>> tokenise("1.234").is_doubtful
    True
    >>> tokenise("1.2.2026")
    """
    cell = cell.strip()
    if cell.isascii() and cell.isdigit():
        return Token(cell)
    if len(cell) > LONGEST:
        return None
    parts = _AROUND.fullmatch(cell.translate(_SAME).strip())
    if parts is None or (parts[1] and parts[4]):
        return None
    body = parts[3]
    marks = tuple(mark for mark in MARKS if _BODY[mark].fullmatch(body))
    if not marks:
        return None
    return Token(body, -1 if parts[2] == "-" else 1, bool(parts[1] or parts[4]), marks)


def is_number(cell: str) -> bool:
    """Tell whether a cell can be read as a number."""
    return tokenise(cell) is not None


@remembered
def is_unknown(cell: str) -> bool:
    """Tell whether a cell of a number column says that the number is not known."""
    return cell.translate(_SAME).strip().casefold() in UNKNOWN


def vote(columns: Iterable[Sequence[Token | None]]) -> Mark | None:
    """Find the one decimal mark that cells of number columns prove; None if they disagree."""
    marks = proven(columns)
    return marks.pop() if len(marks) == 1 else None


def proven(columns: Iterable[Sequence[Token | None]]) -> set[Mark]:
    """Collect the decimal marks that some cell proves."""
    return {
        token.marks[0]
        for column in columns
        for token in column
        if token and len(token.marks) == 1
    }


@dataclass(frozen=True, slots=True)
class NumberColumn:
    """A column read as numbers.

    Attributes
    ----------
    values : ndarray of float, shape (rows,)
        NaN where unknown or not readable.
    digits : ndarray of int, shape (rows,)
        Printed decimals.
    percent : ndarray of bool, shape (rows,)
        Whether a percent sign stands beside the number.
    bad : mapping of int to str
        Row to why its cell is no number here.
    doubtful : mapping of int to str
        Row to the mark in a cell such as ``1.204``, where no cell of the column decides.
    decimal : str or None
        The mark read as decimal; None where nothing decided and marks were taken as grouping.
    is_mixed : bool
        Whether cells of the column prove both marks.
    """

    values: Numbers
    digits: Numbers
    percent: Flags
    bad: dict[int, str] = field(default_factory=dict)
    doubtful: dict[int, str] = field(default_factory=dict)
    decimal: Mark | None = None
    is_mixed: bool = False


def read_numbers(
    cells: Sequence[str],
    tokens: Sequence[Token | None],
    *,
    file_mark: Mark | None,
    told: bool = False,
) -> NumberColumn:
    """Read the cells of one column.

    Parameters
    ----------
    cells : sequence of str
        Trimmed cells.
    tokens : sequence of (Token or None)
        The same cells, tokenised.
    file_mark : str or None
        The decimal mark of the file, if known.
    told : bool, optional
        Whether the user or the kind of file fixed that mark.

    Returns
    -------
    NumberColumn
        Values with everything that is odd about them.

    Examples
    --------
    >>> cells = ["1.204", "52,6"]
    >>> read_numbers(cells, [tokenise(cell) for cell in cells], file_mark=None).values.tolist()
    [1204.0, 52.6]
    """
    own, rival = (None, None) if told else _own_marks(tokens)
    decimal = file_mark if told else own or file_mark
    settled = told or (own is not None and rival is None)
    distinct = {
        cell: _reading(cell, token, decimal, settled=settled)
        for cell, token in dict(zip(cells, tokens, strict=True)).items()
    }
    readings = [distinct[cell] for cell in cells]
    return NumberColumn(
        np.array([reading.value for reading in readings]),
        np.array([float(reading.digits) for reading in readings]),
        np.array([reading.percent for reading in readings], dtype=bool),
        {row: reading.bad for row, reading in enumerate(readings) if reading.bad},
        {row: reading.doubtful for row, reading in enumerate(readings) if reading.doubtful},
        decimal,
        rival is not None,
    )


class _Reading(NamedTuple):
    """What one cell says, and what is odd about it."""

    value: float = float("nan")
    digits: int = 0
    percent: bool = False
    bad: str | None = None
    doubtful: Mark | None = None


def _reading(
    cell: str, token: Token | None, decimal: Mark | None, *, settled: bool
) -> _Reading:
    if token is None:
        return _Reading(bad=None if is_unknown(cell) else _no_number(cell))
    doubtful: Mark | None = None
    if token.is_doubtful and not settled:
        doubtful = "," if "," in token.body else "."
    mark = decimal or _grouping_reading(token)
    if mark not in token.marks:
        return _Reading(bad=_other_style(cell, mark), doubtful=doubtful)
    return _Reading(*token.value(mark), token.percent, doubtful=doubtful)


def _own_marks(tokens: Sequence[Token | None]) -> tuple[Mark | None, Mark | None]:
    """Return the mark that most deciding cells of a column prove, and its rival if any."""
    votes = [token.marks[0] for token in tokens if token and len(token.marks) == 1]
    if not votes:
        return None, None
    first, second = sorted(MARKS, key=votes.count, reverse=True)
    return first, second if second in votes else None


def _grouping_reading(token: Token) -> Mark:
    """Take the mark of a doubtful cell as grouping, so the other one is the decimal mark."""
    if not token.is_doubtful:
        return token.marks[0]
    return "." if "," in token.body else ","


def _no_number(cell: str) -> str:
    shown = excerpt(cell)
    if _SHORTENED.fullmatch(cell):
        return f"a number written in full was wanted, got {shown!r}"
    if cell.casefold().lstrip("+-") in {"inf", "infinity", "∞"}:
        return f"a finite number was wanted, got {shown!r}"
    return f"a number was wanted, got {shown!r}"


def _other_style(cell: str, mark: Mark) -> str:
    return f"a number with {MARK_WORDS[mark]} as in the rest was wanted, got {cell!r}"
