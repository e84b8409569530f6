"""The same card in two tables: names are compared without regard to case and blanks only."""

from collections.abc import Collection, Iterable, Sequence
from difflib import get_close_matches

from winrate_tools.alike import folded
from winrate_tools.errors import CountError

NEAR = 0.85
"""Likeness from which on another name may be a slip of the pen; a judgement, no source."""
LISTED = 20
"""Misspelt names told at once."""


def places(names: Sequence[str], known: Sequence[str], where: str) -> list[int | None]:
    """Find each name among those of another table; no name is ever taken for a like one.

    Parameters
    ----------
    names : sequence of str
        The names looked for.
    known : sequence of str
        The names of the other table.
    where : str
        What the other table is, for the message.

    Returns
    -------
    list of (int or None)
        Each name's place among the known ones, None where it is not there.

    Raises
    ------
    CountError
        If a name is missing and a very like one, which nothing else matches, is there: one of
        the two is misspelt.

    Examples
    --------
    >>> places(["ash vine", "Moth"], ["Tin Bell", "Ash Vine"], "the table of games")
    [1, None]
    """
    at = {folded(name): i for i, name in enumerate(known)}
    found = [at.get(folded(name)) for name in names]
    free = [name for i, name in enumerate(known) if i not in set(found)]
    slips = [
        f"{name!r} (did you mean {near!r}?)"
        for name, place in zip(names, found, strict=True)
        if place is None and (near := nearest(name, free))
    ]
    if slips:
        more = f" and {len(slips) - LISTED:,} more" if len(slips) > LISTED else ""
        msg = (
            f"not in {where}: {', '.join(slips[:LISTED])}{more}. Names must agree but for case "
            "and blanks: mend one of the two tables"
        )
        raise CountError(msg)
    return found


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that is most like another, None if none is very like it."""
    by_fold = {folded(each): each for each in known}
    near = get_close_matches(folded(name), by_fold, n=1, cutoff=NEAR)
    return by_fold[near[0]] if near else None


def hint(name: str, known: Collection[str], all_said: str = "there are") -> str:
    """Name what a name that nobody knows may be meant for, or else what there is.

    Examples
    --------
    >>> hint("Kitesy", ["Kites"]), hint("Owls", ["Kites", "Moths"])
    ("did you mean 'Kites'?", 'there are Kites, Moths')
    """
    near = nearest(name, known)
    return f"did you mean {near!r}?" if near else f"{all_said} {', '.join(known) or 'none'}"
