"""The same name in two tables: compared without regard to case and blanks, never guessed."""

import difflib
from collections.abc import Iterable, Sequence

from winrate_tools.errors import Problem, TableError
from winrate_tools.ingest.findings import excerpt
from winrate_tools.ingest.names import fold
from winrate_tools.ingest.vocabulary import CLOSE_ENOUGH

AGREE = "names must agree but for case and blanks: mend one of the two tables"


def matched(
    names: Sequence[str],
    known: Iterable[str],
    what: str,
    *,
    where: str,
    places: Sequence[str] = (),
    strangers: bool = False,
) -> dict[str, str]:
    """Find names of one table among those of another.

    Parameters
    ----------
    names : sequence of str
        The names looked for; one that comes again counts once.
    known : iterable of str
        The names of the other table.
    what : str
        What is named, such as ``"archetype"``.
    where : str
        What the other table is called, such as ``"archetypes.csv"``.
    places : sequence of str, optional
        Where each of `names` stands, such as ``"home.csv:12"``.
    strangers : bool, optional
        Whether names that no known one is like may stay unknown; they are left out.

    Returns
    -------
    dict of str to str
        Each name as written to the other table's spelling of it.

    Raises
    ------
    TableError
        If a name is not there: every such name, with the nearest known one.

    Examples
    --------
    >>> matched(["kites ", "Moths"], ["Kites", "Moths"], "archetype", where="archetypes.csv")
    {'kites ': 'Kites', 'Moths': 'Moths'}
    >>> matched(["Kits"], ["Kites"], "archetype", where="archetypes.csv")
    Traceback (most recent call last):
    winrate_tools.errors.TableError: archetypes.csv: no archetype 'Kits', did you mean 'Kites'?
    """
    by_fold = {fold(name): name for name in known}
    placed = dict(zip(reversed(names), reversed(places), strict=True)) if places else {}
    found: dict[str, str] = {}
    problems: list[Problem] = []
    for name in dict.fromkeys(names):
        if (same := by_fold.get(fold(name))) is not None:
            found[name] = same
        elif (near := nearest(name, by_fold.values())) or not strangers:
            hint = f", did you mean {excerpt(near)!r}?" if near else ""
            message = f"no {what} {excerpt(name)!r}{hint}"
            problems.append(Problem(placed.get(name, where), message, fix=AGREE))
    if problems:
        raise TableError(_summary(problems, what, where), problems)
    return found


def flattened(
    lists: Sequence[Sequence[str | None]], places: Sequence[str]
) -> tuple[list[str], list[str]]:
    """Lay out the names of several rows one by one, each with the place of its row.

    Parameters
    ----------
    lists : sequence of sequence of (str or None)
        Names of each row; unknown ones are passed over.
    places : sequence of str
        Where each row stands, or nothing.

    Returns
    -------
    tuple of (list of str, list of str)
        Names and places, as `matched` takes them.

    Examples
    --------
    >>> flattened([("Kites", "Moths"), (None, "Kites")], ["home.csv:2", "home.csv:3"])
    (['Kites', 'Moths', 'Kites'], ['home.csv:2', 'home.csv:2', 'home.csv:3'])
    """
    told = [(name, row) for row, names in enumerate(lists) for name in names if name]
    return [name for name, _ in told], [places[row] for _, row in told] if places else []


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that is most like another, None if none is much like it.

    Examples
    --------
    >>> nearest("floating flower", ["River Lights", "Floating Flowers"])
    'Floating Flowers'
    """
    by_fold = {fold(one): one for one in known}
    near = difflib.get_close_matches(fold(name), by_fold, n=1, cutoff=CLOSE_ENOUGH)
    return by_fold[near[0]] if near else None


def _summary(problems: Sequence[Problem], what: str, where: str) -> str:
    if len(problems) == 1:
        return f"{where}: {problems[0].message}"
    return f"{where}: {len(problems)} {what}s are not there; first: {problems[0].message}"
