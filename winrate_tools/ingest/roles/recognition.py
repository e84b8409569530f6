"""Which kind of table a file is, as far as its headers say."""

from collections.abc import Collection, Sequence

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
    is_card = "card" in spoken(headers, CARDS, told)
    if not is_card and "archetype" in spoken(headers, ARCHETYPES, told):
        return ARCHETYPES
    return CARDS


def spoken(headers: Sequence[str], kind: Kind, told: Collection[str] = ()) -> set[str]:
    """Return the roles that headers name, or the user has named, of one kind of table."""
    plain = (kind.role(plain_role(header)) for header in headers)
    loose = (kind.loose_role(loose_role(header)) for header in headers)
    return {role for role in (*plain, *loose, *told) if role and role in kind.roles}


def other_kind(headers: Sequence[str], kind: Kind) -> Kind | None:
    """Return the kind that the headers speak for fully, if it is another one than `kind`."""
    like = recognised(headers)
    return None if like is kind or like.missing(spoken(headers, like)) else like


def unlike(headers: Sequence[str], kind: Kind) -> bool:
    """Tell whether headers speak so much for another kind that `kind` would misread them."""
    return other_kind(headers, kind) in {MATCHES, CANDIDATES}
