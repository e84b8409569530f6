"""Which kind of table a file is, as far as its headers say."""

from collections.abc import Collection, Sequence

from winrate_tools.ingest.cells.choices import GUESS_WORDS, names_choices
from winrate_tools.ingest.logs.log_words import log_role
from winrate_tools.ingest.roles.kinds import (
    ARCHETYPES,
    CANDIDATES,
    CARDS,
    JOURNAL,
    MATCHES,
    POOL,
    RECORD,
    Kind,
)
from winrate_tools.ingest.roles.vocabulary import loose_role, plain_role

ONLY_OF_CARDS = frozenset(CARDS.roles) - frozenset(ARCHETYPES.roles) - {"faction"}
"""Roles that a table of archetypes does not have."""
MOSTLY = 0.9
"""Share of the rows that must differ in what a kind of table tells its rows apart by."""
FEWEST_CARDS = 10
"""Columns of other names from which a log is taken to have a column a card."""


def recognised(headers: Sequence[str], told: Collection[str] = ()) -> Kind:
    """Tell the kind of a table by its headers, and by the roles that the user has named.

    Returns
    -------
    Kind
        A table of cards where nothing speaks for another kind.

    Examples
    --------
    >>> recognised(["Spieler", "Gegner", "Siege"]).title, recognised(["Name", "Anzahl"]).title
    ('matches', 'pool')
    >>> recognised(["Karte", "Exemplare", "Baseline"]).title, recognised(["a", "b"]).title
    ('candidates', 'cards')
    """
    if {"player", "opponent"} <= spoken(headers, MATCHES, told):
        return MATCHES
    said = spoken(headers, CANDIDATES, told)
    if "card" in said and {"baseline", "guess"} & said:
        return CANDIDATES
    if {"card", "copies"} <= said and not RECORD & said:
        return POOL
    is_card = {"card", *ONLY_OF_CARDS} & spoken(headers, CARDS, told)
    if not is_card and "archetype" in spoken(headers, ARCHETYPES, told):
        return ARCHETYPES
    return CARDS


def spoken(headers: Sequence[str], kind: Kind, told: Collection[str] = ()) -> set[str]:
    """Return the roles that headers name, or the user has named, of one kind of table."""
    plain = (kind.role(plain_role(header)) for header in headers)
    loose = (kind.loose_role(loose_role(header)) for header in headers)
    return {role for role in (*plain, *loose, *told) if role and role in kind.roles}


def recognised_rows(
    headers: Sequence[str], rows: Sequence[Sequence[str]], told: Collection[str] = ()
) -> Kind:
    """Tell the kind of a table by its headers, and by what tells its rows apart.

    Returns
    -------
    Kind
        As `recognised` says; but where most rows repeat an archetype, whatever they list
        besides is taken for cards, and cards without a record beside which guesses stand are
        candidates.

    Examples
    --------
    >>> recognised_rows(["Archetype", "x"], [["Kites", "1"], ["Moths", "2"]]).title
    'archetypes'
    >>> recognised_rows(["Archetype", "x"], [["Kites", "Ash"], ["Kites", "Tin"]]).title
    'cards'
    >>> recognised_rows(["Carte", "Avis"], [["Ash", "comme"], ["Tin", "plus forte"]]).title
    'candidates'
    """
    kind = recognised(headers, told)
    if kind in (CARDS, POOL) and _lists_guesses(headers, rows, told):
        return CANDIDATES
    if kind is not ARCHETYPES or ARCHETYPES.name in told:
        return kind
    return CARDS if _repeats_archetypes(headers, rows) else ARCHETYPES


def _lists_guesses(
    headers: Sequence[str], rows: Sequence[Sequence[str]], told: Collection[str]
) -> bool:
    """Tell whether a table names cards, has no record of them, and a column of guesses."""
    said = spoken(headers, CANDIDATES, told)
    if "card" not in said or RECORD & said:
        return False
    columns = zip(*rows, strict=True)
    return any(
        plain_role(header) is None and holds_guesses(cells)
        for header, cells in zip(headers, columns, strict=False)
    )


def holds_guesses(cells: Sequence[str]) -> bool:
    """Tell whether half of the cells say weaker, like or stronger, and not all the same.

    Examples
    --------
    >>> holds_guesses(["like", "", "weaker"]), holds_guesses(["like", "new"])
    (True, False)
    """
    return names_choices(cells, GUESS_WORDS)


def _repeats_archetypes(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> bool:
    """Tell whether most rows share their archetype, and band if there is one, with others."""
    kind = ARCHETYPES
    by_words = [
        kind.role(plain_role(one)) or kind.loose_role(loose_role(one)) for one in headers
    ]
    at = [n for n, role in enumerate(by_words) if role in {kind.name, *kind.strata}]
    keys = {tuple(row[n].strip() for n in at) for row in rows}
    return len(keys) < MOSTLY * len(rows)


def is_journal(headers: Sequence[str]) -> bool:
    """Tell whether headers are those of a journal of changes and forecasts.

    Examples
    --------
    >>> is_journal(["date", "change", "archetype", "forecast", "low", "high"])
    True
    """
    if "forecast" not in headers:
        return False
    from winrate_tools.journal import JOURNAL_COLUMNS

    return {*JOURNAL_COLUMNS[: JOURNAL_COLUMNS.index("sure")]} <= {*headers}


def other_kind(headers: Sequence[str], kind: Kind) -> Kind | None:
    """Return the kind that the headers speak for fully, if it is another one than `kind`."""
    if is_journal(headers):
        return JOURNAL
    like = recognised(headers)
    return None if like is kind or like.missing(spoken(headers, like)) else like


def unlike(headers: Sequence[str], rows: Sequence[Sequence[str]], kind: Kind) -> bool:
    """Tell whether a table speaks so much for another kind that `kind` would misread it.

    Examples
    --------
    Cards by archetype would be added up as if each were a deck:

    >>> headers = ["Card", "Archetype", "Games", "Wins"]
    >>> unlike(headers, [["Ash", "Kites", "9", "4"], ["Tin", "Kites", "8", "5"]], ARCHETYPES)
    True
    """
    other = other_kind(headers, kind)
    if other is CARDS and kind is ARCHETYPES:
        has_both = {"card", "archetype"} <= set(map(plain_role, headers))
        return has_both and _repeats_archetypes(headers, rows)
    return other in {MATCHES, CANDIDATES}


def speaks_of_games(headers: Sequence[str], told: Collection[str] = ()) -> bool:
    """Tell whether headers speak for a log of games, and for no table fully.

    Examples
    --------
    >>> speaks_of_games(["Game", "Won", "Cards"]), speaks_of_games(["Card", "Games", "Won"])
    (True, False)
    """
    kind = recognised(headers, told)
    found = spoken(headers, kind, told)
    said = {*map(log_role, headers), *told}
    if kind is not CARDS or "won" not in said or not CARDS.missing(found):
        return False
    columns_of_cards = [header for header in headers if header and not log_role(header)]
    is_wide = "card" not in found and len(columns_of_cards) >= FEWEST_CARDS
    return "cards" in said or ("game" in said and ("card" in said or is_wide))
