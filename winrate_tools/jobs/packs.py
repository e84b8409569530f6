"""What a table that drafts from a pool gets to see."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.decide.packs.exposure import PacksSeen
from winrate_tools.decide.packs.packs import packs_seen
from winrate_tools.pools import PoolTable
from winrate_tools.stats.packs.exposure import Draft
from winrate_tools.tables import Source

if TYPE_CHECKING:
    from winrate_tools.report.document import Document

SHOWN = 10
"""Cards that are listed for people; programs get all."""


@dataclass(frozen=True, slots=True)
class PoolPacks(Answer):
    """What a table sees of a pool.

    Attributes
    ----------
    found : PacksSeen
        By slot, group, card and copy.
    source : Source
        Where the pool came from.
    shown : int
        Cards that the document lists.
    """

    found: PacksSeen
    source: Source
    shown: int = SHOWN

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, as in the CSV of the command `packs`."""
        from winrate_tools.report.packs.packs_records import COLUMNS

        return COLUMNS

    @property
    def rows(self) -> list[dict[str, Any]]:
        """One row a card, the likeliest to be dealt first."""
        from winrate_tools.report.packs.packs_records import card_row

        return [card_row(card) for card in self.found.cards]

    @property
    def document(self) -> "Document":
        """The report of the command `packs`."""
        from winrate_tools.report.packs.packs_section import packs_report

        return packs_report(self.found, self.source.name, self.shown)


@demanding_tables
def packs(
    pool: PoolTable,
    seats: int = 8,
    packs: int = 3,
    size: int = 15,
    *,
    places: Mapping[str, int] | None = None,
) -> PoolPacks:
    """Say what a table sees of a pool: how much, which cards, and what a copy is worth.

    Parameters
    ----------
    pool : PoolTable
        The pool.
    seats, packs, size : int, optional
        Players, packs that each of them opens, and cards of a pack.
    places : mapping of str to int, optional
        Cards of each pack that a special slot of the pool fills; one where not said.

    Returns
    -------
    PoolPacks
        A pool that is too small for the table says which tables it serves.

    Raises
    ------
    SettingError
        If a number is out of its bounds, a slot is not the pool's, or the special slots take
        more places than a pack has.

    Examples
    --------
    >>> from winrate_tools.pools import PoolCard
    >>> pool = PoolTable([PoolCard(f"Moth {n}", 2) for n in range(60)])
    >>> seen = packs(pool, seats=2)
    >>> f"{seen.to_frame()['chance_dealt'][0]:.3f}", packs(pool, seats=8).found.most_seats
    ('0.939', 2)
    """
    return PoolPacks(packs_seen(pool, Draft(seats, packs, size), places), pool.source)
