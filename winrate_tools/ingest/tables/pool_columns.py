"""Columns that a pool and a list of candidates share, and the cards they make."""

from dataclasses import dataclass

import numpy as np

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.choices import YES_NO, read_choice
from winrate_tools.ingest.cells.counts import read_count
from winrate_tools.ingest.cells.lists import ListColumn, read_lists
from winrate_tools.ingest.cells.prices import read_prices
from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.roles.view import Part, View, read_each
from winrate_tools.pools import MAIN, PoolCard
from winrate_tools.tables import ATTRIBUTES, Numbers


def read_copies(view: View, _: dict[str, Numbers]) -> Part:
    """Read how many copies there are of each card, where the table says so."""
    return read_each(view, ("copies",), read_count)


def read_price_and_protection(view: View, _: dict[str, Numbers]) -> Part:
    """Read what a card costs and whether it is never to be cut."""
    part = read_each(view, ("price",), read_prices)
    if "protected" in view.where:
        part = part.then(read_choice(view, "protected", YES_NO, "yes or no"))
    return part


@dataclass(frozen=True, slots=True)
class PoolCards:
    """Checked columns of a table of cards that can be had, ready to be made into cards.

    Attributes
    ----------
    columns : Columns
        What was read.
    archetypes : ListColumn
        What each card supports.
    """

    columns: Columns
    archetypes: ListColumn

    @classmethod
    def of(cls, columns: Columns) -> "PoolCards":
        """Read the list in each card's cell of archetypes, too."""
        return cls(columns, read_lists(columns.view, "archetypes"))

    def card(self, row: int, copies: int) -> PoolCard:
        """Make the card of a row."""
        labels, numbers = self.columns.labels, self.columns.numbers
        price = numbers["price"][row] if "price" in numbers else np.nan
        told = {role: labels[role][row] for role in ATTRIBUTES if role in labels}
        slot = labels["slot"][row] if "slot" in labels else None
        return PoolCard(
            self.columns.view.card[row],
            copies,
            **told,
            price=None if np.isnan(price) else float(price),
            is_protected="protected" in numbers and bool(numbers["protected"][row] == 1),
            slot=MAIN if slot is None or folded(slot) == MAIN else slot,
            archetypes=self.archetypes.lists[row],
        )
