"""Kinds of tables: which roles each one has, and which of them names its rows."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from winrate_tools.columns import (
    ARCHETYPE_ROLES,
    CANDIDATE_ROLES,
    CARD_ROLES,
    MATCH_ROLES,
    POOL_ROLES,
    Column,
)
from winrate_tools.tables import ATTRIBUTES, STRATA

LOSSES = Column("losses", "count", "Losses", "Games lost, out of the games of the row.")
SCORE = Column("score", "word", "Score", "Games won and lost, as 2-1, or 2-1-1 with draws.")
DAY_FIRST = Column("day_first_date", "date", "Date", "The day of the match, as 31.1.2026.")
MONTH_FIRST = Column("month_first_date", "date", "Date", "The day of the match, as 1/31/2026.")
RECORD = frozenset({"games", "wins", "win_rate", "losses"})
"""Roles that tell a record of games."""


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """One kind of table, as it is read.

    Attributes
    ----------
    title : str
        What its rows are, in a word.
    called : str
        What such a table is called in a sentence.
    use : str
        The command that such a table is for.
    name : str
        Role that names the rows.
    roles : mapping of str to Column
        Its roles; losses stand in for games where these are missing.
    strata, attributes : tuple of str
        Its label roles: those by which a name may stand in several rows, and the others.
    words : mapping of str to str
        Roles of a card table whose words mean another role here.
    needed : tuple of str
        Roles that it cannot do without, but for a record of games.
    counted : bool
        Whether its rows are records of games.
    instead : mapping of str to collection of str
        Role to the roles that are not needed beside it.
    repeats : bool
        Whether a name may stand in any number of rows.
    """

    title: str
    called: str
    use: str
    name: str
    roles: Mapping[str, Column]
    strata: tuple[str, ...]
    attributes: tuple[str, ...]
    words: Mapping[str, str] = field(default_factory=dict)
    needed: tuple[str, ...] = ()
    counted: bool = True
    instead: Mapping[str, Collection[str]] = field(default_factory=dict)
    repeats: bool = False

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

    def missing(self, found: Collection[str]) -> list[str]:
        """List the roles that a table of this kind still needs.

        Examples
        --------
        >>> CARDS.missing({"card", "wins", "losses"}), CARDS.missing({"games"})
        ([], ['card', 'wins'])
        >>> CANDIDATES.missing({"card", "guess"}), CANDIDATES.missing({"card"})
        ([], ['games', 'wins'])
        """
        told = set(found)
        spare = {role for key in told for role in self.instead.get(key, ())}
        needed = (self.name, *self.needed)
        missing = [role for role in needed if role not in told | spare]
        if not self.counted or (spare >= RECORD and not RECORD & told):
            return missing
        if "games" not in told and not {"wins", "losses"} <= told:
            missing.append("games")
        if not {"wins", "win_rate"} & told:
            missing.append("wins")
        return missing


CARDS = Kind(
    "cards",
    "a table of cards",
    "rank TABLE",
    "card",
    {**CARD_ROLES, LOSSES.name: LOSSES},
    STRATA,
    ATTRIBUTES,
)
ARCHETYPES = Kind(
    "archetypes",
    "a table of archetypes",
    "archetypes TABLE",
    "archetype",
    {**ARCHETYPE_ROLES, LOSSES.name: LOSSES},
    ("skill_band",),
    ("factions",),
    {"faction": "factions"},
)
POOL = Kind(
    "pool",
    "a pool",
    "packs --pool FILE --seats N",
    "card",
    POOL_ROLES,
    (),
    (*ATTRIBUTES, "slot"),
    {"archetype": "archetypes"},
    needed=("copies",),
    counted=False,
)
CANDIDATES = Kind(
    "candidates",
    "a list of candidates",
    "plan TABLE --pool FILE --candidates FILE",
    "card",
    {**CANDIDATE_ROLES, LOSSES.name: LOSSES},
    (),
    POOL.attributes,
    POOL.words,
    instead={"guess": RECORD},
)
MATCHES = Kind(
    "matches",
    "a table of matches",
    "update TABLE --matches FILE",
    "player",
    {**MATCH_ROLES, **{column.name: column for column in (SCORE, DAY_FIRST, MONTH_FIRST)}},
    (),
    ("archetype", "opponent_archetype"),
    {"wins": "games_won", "losses": "games_lost", "card": "cards"},
    needed=("opponent", "games_won", "games_lost"),
    counted=False,
    instead={SCORE.name: ("games_won", "games_lost")},
    repeats=True,
)
JOURNAL = Kind(
    "journal",
    "a journal of changes and forecasts",
    "update TABLE --matches FILE --journal FILE",
    "archetype",
    {},
    (),
    (),
    counted=False,
    repeats=True,
)
"""Known by its headers, so that it is taken for no table; `read_journal` reads it."""
KINDS = {kind.title: kind for kind in (CARDS, ARCHETYPES, POOL, CANDIDATES, MATCHES)}
"""Every kind of table, by what it is called."""
