"""Which archetypes need help, and which cards drag or carry them."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.columns import ARCHETYPE_COLUMNS
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.archetypes.archetypes import judge_archetypes
from winrate_tools.ranking import chosen_of
from winrate_tools.settings import Settings
from winrate_tools.tables import ArchetypeTable, CardTable, Source

if TYPE_CHECKING:
    from winrate_tools.report.document import Document


@dataclass(frozen=True, slots=True)
class ArchetypeRanking(Answer):
    """Judged archetypes, with the settings and the sources that they came from.

    Attributes
    ----------
    found : ArchetypePool
        What the data say, archetype by archetype and together.
    settings : Settings
        Every choice behind it.
    sources : tuple of Source
        Where the tables came from.
    """

    found: ArchetypePool
    settings: Settings
    sources: tuple[Source, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, `winrate_tools.columns.ARCHETYPE_COLUMNS`."""
        return tuple(ARCHETYPE_COLUMNS)

    @property
    def rows(self) -> list[dict[str, Any]]:
        """One row an archetype, the weakest first."""
        from winrate_tools.report.archetypes.archetype_records import archetype_rows

        return archetype_rows(self.found)

    @property
    def document(self) -> "Document":
        """The report of the command `archetypes`."""
        from winrate_tools.report.archetypes.archetype_section import archetype_report

        return archetype_report(self.found, self.sources[0].name)


@demanding_tables
def archetypes(
    cards: CardTable | None,
    decks: ArchetypeTable | None = None,
    settings: Settings | None = None,
    **choices: Any,
) -> ArchetypeRanking:
    """Judge every archetype, split its strength, and name the cards that drag or carry it.

    Parameters
    ----------
    cards : CardTable or None
        Rows by archetype, for the cards' part, and for the counts where `decks` is not given.
    decks : ArchetypeTable, optional
        Games and wins of whole decks.
    settings : Settings, optional
        Margin, sureness, measure, allowance, design effect and seed are used.
    **choices
        Single fields of `Settings`; they win over `settings`.

    Returns
    -------
    ArchetypeRanking
        Archetypes from the weakest estimate up.

    Raises
    ------
    FitError
        If no archetypes are named, or fewer than two of them have games.
    SettingError
        If a choice is out of its bounds.

    Examples
    --------
    >>> table = ArchetypeTable(["Kites", "Moths", "Bells"], [5000] * 3, [2600, 2500, 2100])
    >>> judged = archetypes(None, table, margin=0.03)
    >>> [(one.archetype, one.verdict) for one in judged.found.archetypes]
    [('Bells', 'underpowered'), ('Moths', 'balanced'), ('Kites', 'overpowered')]
    >>> judged.to_frame()["games"].tolist()
    [5000, 5000, 5000]
    """
    chosen = chosen_of(settings or Settings(), choices)
    sources = tuple(table.source for table in (cards, decks) if table is not None)
    return ArchetypeRanking(judge_archetypes(cards, decks, chosen), chosen, sources)
