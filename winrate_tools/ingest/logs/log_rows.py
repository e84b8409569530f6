"""The columns that every layout of a log has, with what is wrong about each row."""

from collections.abc import Callable, Sequence
from hashlib import blake2b
from itertools import islice
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.logs.coded import CodedRows
from winrate_tools.ingest.logs.key_sample import Keys, mixed
from winrate_tools.ingest.logs.label_codes import BAD, UNKNOWN, LabelCodes
from winrate_tools.ingest.logs.log_roles import LogRoles
from winrate_tools.ingest.logs.log_words import yes_or_no
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.tables import Flags

Codes = npt.NDArray[np.int64]
MOST_TROUBLES = 100
LARGEST = 1 << 63


class Trouble(NamedTuple):
    """What is wrong with a cell: its row in the block, its column from 1, and why."""

    row: int
    column: int
    message: str


class LogRows:
    """A block of a log, read row by row.

    Parameters
    ----------
    rows : CodedRows
        The block.
    roles : LogRoles
        What its columns hold.
    tally : Tally
        Gives labels their codes.

    Attributes
    ----------
    troubles : list of Trouble
        The first of what is wrong with it; grows as columns are read.
    won : ndarray of int, shape (rows,)
        1, 0, or `UNKNOWN` where nobody won.
    archetype, band : ndarray of int, shape (rows,)
        Codes of labels.
    key, run : ndarray of int or None, shape (rows,)
        What tells games apart, and decks (or else players) over their games.
    """

    def __init__(self, rows: CodedRows, roles: LogRoles, tally: Tally) -> None:
        self.rows, self.roles, self.tally = rows, roles, tally
        self.troubles: list[Trouble] = []
        self.won = self.flags("won")
        self.archetype = self.labels("archetype", tally.archetypes)
        self.band = self.labels("skill", tally.skill)
        self.key = self.keys("game")
        player, deck = self.keys("player"), self.keys("deck")
        if self.key is not None and player is not None:
            self.key = mixed(self.key ^ mixed(player))
        self.run = player if deck is None else deck

    def flags(self, role: str) -> Codes:
        """Read yes as 1, no as 0, and neither as `UNKNOWN`."""
        column = self.roles.where[role]
        coded = self.rows.columns[column]
        codes, why = flag_codes(coded.texts)
        flags = codes.take(coded.codes)
        if BAD in codes:
            self.complain(flags == BAD, column, lambda row: why[coded.codes[row]])
        return flags

    def labels(self, role: str, labels: LabelCodes) -> Codes:
        """Read labels as their codes, `UNKNOWN` where there is no such column."""
        column = self.roles.where.get(role)
        if column is None:
            return np.full(self.rows.rows, UNKNOWN)
        coded = self.rows.columns[column]
        known = labels.codes(coded.texts)
        codes = known.take(coded.codes)
        if BAD in known:
            self.complain(
                codes == BAD, column, lambda row: labels.trouble(coded.texts[coded.codes[row]])
            )
        return codes

    def keys(self, role: str) -> Keys | None:
        """Read what tells games, players or decks apart."""
        column = self.roles.where.get(role)
        if column is None:
            return None
        if column in self.rows.numbers:
            return mixed(self.rows.numbers[column])
        coded = self.rows.columns[column]
        return np.array([text_key(text) for text in coded.texts], dtype=np.uint64)[coded.codes]

    def complain(
        self, wrong: Flags, column: int, why: Callable[[int], str | None] | str
    ) -> None:
        """Note what is wrong with some rows."""
        for row in islice(np.flatnonzero(wrong).tolist(), MOST_TROUBLES):
            message = why if isinstance(why, str) else why(row)
            self.troubles.append(Trouble(row, column, str(message)))


def flag_codes(texts: Sequence[str]) -> tuple[Codes, list[str]]:
    """Read each text as yes (1), no (0) or neither; `BAD` ones with what is wrong."""
    codes = np.full(len(texts), BAD)
    why = [""] * len(texts)
    for place, text in enumerate(texts):
        try:
            says = yes_or_no(text)
            codes[place] = UNKNOWN if says is None else int(says)
        except ValueError as error:
            why[place] = str(error)
    return codes, why


def text_key(text: str) -> int:
    """Return the key of what tells rows apart; a whole number has the key of its value.

    Examples
    --------
    >>> text_key(" 7") == int(mixed(np.array([7]))[0]), text_key("a") == text_key("b")
    (True, False)
    """
    text = text.strip()
    if text.isascii() and text.removeprefix("-").isdigit() and abs(int(text)) < LARGEST:
        return int(mixed(np.array([int(text)]))[0])
    return int.from_bytes(blake2b(text.encode(), digest_size=8).digest(), "little")
