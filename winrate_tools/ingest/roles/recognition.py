"""Which kind of table a file is, as far as its headers say."""

from collections.abc import Collection, Sequence

from winrate_tools.ingest.logs.log_words import log_role
from winrate_tools.ingest.roles.kinds import (
    ARCHETYPES,
    CANDIDATES,
    CARDS,
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
    """Tell the kind of a table.

    Parameters
    ----------
    headers : sequence of str
        As written.
    told : collection of str, optional
        Roles that the user has named columns for.

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

    Parameters
    ----------
    headers : sequence of str
        As written.
    rows : sequence of sequence of str
        The cells of each row.
    told : collection of str, optional
        Roles that the user has named columns for.

    Returns
    -------
    Kind
        As `recognised` says; but where most rows repeat an archetype, whatever they list
        besides is taken for cards.

    Examples
    --------
    >>> recognised_rows(["Archetype", "x"], [["Kites", "1"], ["Moths", "2"]]).title
    'archetypes'
    >>> recognised_rows(["Archetype", "x"], [["Kites", "Ash"], ["Kites", "Tin"]]).title
    'cards'
    """
    kind = recognised(headers, told)
    if kind is not ARCHETYPES or ARCHETYPES.name in told:
        return kind
    by_words = [
        kind.role(plain_role(one)) or kind.loose_role(loose_role(one)) for one in headers
    ]
    at = [n for n, role in enumerate(by_words) if role in {kind.name, *kind.strata}]
    keys = {tuple(row[n].strip() for n in at) for row in rows}
    return CARDS if len(keys) < MOSTLY * len(rows) else ARCHETYPES


def other_kind(headers: Sequence[str], kind: Kind) -> Kind | None:
    """Return the kind that the headers speak for fully, if it is another one than `kind`."""
    like = recognised(headers)
    return None if like is kind or like.missing(spoken(headers, like)) else like


def unlike(headers: Sequence[str], kind: Kind) -> bool:
    """Tell whether headers speak so much for another kind that `kind` would misread them."""
    return other_kind(headers, kind) in {MATCHES, CANDIDATES}


def speaks_of_games(headers: Sequence[str], told: Collection[str] = ()) -> bool:
    """Tell whether headers speak for a log of games, and for no table fully.

    Parameters
    ----------
    headers : sequence of str
        As written.
    told : collection of str, optional
        Roles that the user has named columns for.

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
