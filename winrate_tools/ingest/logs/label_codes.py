"""Names and labels as codes that stay the same over any number of blocks and files."""

from bisect import bisect_right
from collections.abc import Collection, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.errors import TableError
from winrate_tools.ingest.cells.names import LONGEST, NO_LABEL, tidy, unprintable
from winrate_tools.ingest.cells.numbers import tokenise

UNKNOWN, BAD = -1, -2
BLANK = frozenset({""})
"""The one text that names no card: even ``-`` may be a name."""
MOST_NAMES = 50_000
Codes = npt.NDArray[np.int64]


class LabelCodes:
    """Gives each different label a number, in order of first appearance.

    Spellings that differ only in case, blanks or form are one label, spelt as it was first.

    Parameters
    ----------
    role : str
        What the labels are of, for messages.
    blanks : collection of str, optional
        Texts that stand for an unknown label.

    Examples
    --------
    >>> labels = LabelCodes("card")
    >>> labels.codes(["Ash Vine", "Fox", " ash  VINE", "-"]).tolist(), labels.names
    ([0, 1, 0, -1], ['Ash Vine', 'Fox'])
    """

    def __init__(self, role: str, blanks: Collection[str] = NO_LABEL) -> None:
        self.role, self.blanks = role, blanks
        self.names: list[str] = []
        self._known: dict[str, int] = {}
        self._folded: dict[str, int] = {}

    @property
    def spelling(self) -> dict[str, str]:
        """Every name met, as it was written, and the spelling that it goes by."""
        return {tidy(text): self.names[code] for text, code in self._known.items() if code >= 0}

    @property
    def written(self) -> list[str]:
        """Every text met that names something, as it was written."""
        return [text for text, code in self._known.items() if code >= 0]

    def codes(self, texts: Sequence[str]) -> Codes:
        """Return the code of each text: `UNKNOWN` for a blank one, `BAD` for a broken one."""
        return np.array([self._code(text) for text in texts], dtype=np.int64)

    def _code(self, text: str) -> int:
        code = self._known.get(text)
        if code is None:
            code = self._known[text] = self._new(text)
        return code

    def _new(self, text: str) -> int:
        name = tidy(text)
        if name in self.blanks:
            return UNKNOWN
        if self.trouble(text):
            return BAD
        if len(self.names) == MOST_NAMES:
            msg = (
                f"more than {MOST_NAMES:,} different labels of {self.role}, the last {name!r}; "
                f"name the right column with --map {self.role}=..."
            )
            raise TableError(msg)
        code = self._folded.setdefault(folded(name), len(self.names))
        if code == len(self.names):
            self.names.append(name)
        return code

    def trouble(self, text: str) -> str | None:
        """Say what is wrong with a label."""
        name = tidy(text)
        if len(name) > LONGEST:
            return f"a {self.role} of at most {LONGEST} letters was wanted, got {len(name)}"
        code = unprintable(name)
        return f"{self.role} holds the invisible character {code}" if code else None


class AnyLabels(LabelCodes):
    """Labels none of which is broken, as a table's other labels than its names are read."""

    def trouble(self, text: str) -> None:
        """Find nothing wrong with any label."""


class CutBands(LabelCodes):
    """Skill bands cut out of numbers.

    Parameters
    ----------
    cuts : sequence of float
        Where one band ends and the next begins, ascending.

    Examples
    --------
    >>> bands = CutBands([1200, 1500])
    >>> bands.names
    ['below 1200', '1200 to 1500', '1500 or more']
    >>> bands.codes(["1199.5", "1200", "", "good"]).tolist()
    [0, 1, -1, -2]
    """

    def __init__(self, cuts: Sequence[float]) -> None:
        super().__init__("skill")
        self.cuts = list(cuts)
        inner = [f"{low:g} to {high:g}" for low, high in pairwise(cuts)]
        self.names = [f"below {cuts[0]:g}", *inner, f"{cuts[-1]:g} or more"]

    def _new(self, text: str) -> int:
        if tidy(text) in NO_LABEL:
            return UNKNOWN
        value = plain_number(text)
        return BAD if value is None else bisect_right(self.cuts, value)

    def trouble(self, text: str) -> str | None:
        """Say what is wrong with a number."""
        wanted = "a number with a decimal point was wanted, to cut skill into bands"
        return None if plain_number(text) is not None else f"{wanted}, got {text.strip()!r}"


def plain_number(text: str) -> float | None:
    """Read a number with a decimal point, if any; percent are hundredths.

    Examples
    --------
    >>> plain_number("1,204"), plain_number("55.5%"), plain_number("1.5,2")
    (1204.0, 0.555, None)
    """
    token = tokenise(text)
    if token is None or "." not in token.marks:
        return None
    value, _ = token.value(".")
    return value / 100 if token.percent else value
