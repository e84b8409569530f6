"""Kinds of tables: which roles each one has, and which of them names its rows."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from winrate_tools.columns import ARCHETYPE_ROLES, CARD_ROLES, Column
from winrate_tools.tables import ATTRIBUTES, STRATA

LOSSES = Column("losses", "count", "Losses", "Games lost, out of the games of the row.")


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of table, as it is read.

    Attributes
    ----------
    name : str
        Role that names the rows.
    roles : mapping of str to Column
        Its roles; losses stand in for games where these are missing.
    strata, attributes : tuple of str
        Its label roles: those by which a name may stand in several rows, and the others.
    words : mapping of str to str
        Roles of a card table whose words mean another role here.
    """

    name: str
    roles: Mapping[str, Column]
    strata: tuple[str, ...]
    attributes: tuple[str, ...]
    words: Mapping[str, str] = field(default_factory=dict)

    def role(self, named: str | None) -> str | None:
        """Return the role that a plain word for a role of a card table means here.

        Examples
        --------
        >>> ARCHETYPES.role("faction"), ARCHETYPES.role("card"), CARDS.role("card")
        ('factions', None, 'card')
        """
        meant = self.words.get(named or "", named)
        return meant if meant in self.roles else None

    def loose_role(self, named: str | None) -> str | None:
        """Return the same for a loose word: what may name a card may name any row.

        Examples
        --------
        >>> ARCHETYPES.loose_role("card")
        'archetype'
        """
        return self.name if named == "card" else self.role(named)


CARDS = Kind("card", {**CARD_ROLES, LOSSES.name: LOSSES}, STRATA, ATTRIBUTES)
ARCHETYPES = Kind(
    "archetype",
    {**ARCHETYPE_ROLES, LOSSES.name: LOSSES},
    ("skill_band",),
    ("factions",),
    {"faction": "factions"},
)
