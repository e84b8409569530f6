"""What differs between two pools."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.decide.plan.changes import Changes, changes_between
from winrate_tools.pools import PoolTable
from winrate_tools.tables import Source

if TYPE_CHECKING:
    from winrate_tools.report.document import Document


@dataclass(frozen=True, slots=True)
class PoolChanges(Answer):
    """The change sheet of two pools.

    Attributes
    ----------
    found : Changes
        What is out, in, of more and of fewer copies.
    sources : tuple of Source
        Where the old pool and the new one came from.
    """

    found: Changes
    sources: tuple[Source, Source]

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, as in the CSV of the command `changes`."""
        from winrate_tools.report.plan.changes_section import COLUMNS

        return COLUMNS

    @property
    def rows(self) -> list[dict[str, Any]]:
        """One row a changed card: out, in, more copies, fewer copies."""
        from winrate_tools.report.plan.changes_section import change_rows

        return change_rows(self.found)

    @property
    def document(self) -> "Document":
        """The sheet of the command `changes`."""
        from winrate_tools.report.plan.changes_section import changes_report

        old, new = self.sources
        return changes_report(self.found, old.name, new.name)


@demanding_tables
def changes(
    old: PoolTable, new: PoolTable, reasons: Mapping[str, str] | None = None
) -> PoolChanges:
    """Compare two pools: what is out, what is in, how many copies, and why.

    Parameters
    ----------
    old, new : PoolTable
        The pools.
    reasons : mapping of str to str, optional
        Card to why it changed.

    Returns
    -------
    PoolChanges

    Raises
    ------
    CountError
        If the pools have no card in common.
    SettingError
        If one of them is no `PoolTable`.

    Examples
    --------
    >>> from winrate_tools.pools import PoolCard
    >>> old = PoolTable([PoolCard("Ash Vine", 3), PoolCard("Tin Moth", 1)])
    >>> new = PoolTable([PoolCard("Ash Vine", 2), PoolCard("Elm Bell", 2)])
    >>> sheet = changes(old, new, {"Tin Moth": "too weak"})
    >>> sheet.to_frame()[["card", "copies_after", "why"]].values.tolist()
    [['Tin Moth', 0, 'too weak'], ['Elm Bell', 2, ''], ['Ash Vine', 2, '']]
    """
    return PoolChanges(changes_between(old, new, reasons), (old.source, new.source))
