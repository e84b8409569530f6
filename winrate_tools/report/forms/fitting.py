"""Fit a table into a width: optional columns go, rows wrap, and only names ever shrink."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import count

from winrate_tools.report.document import Table
from winrate_tools.report.forms.glyphs import width

GAP = 2
SHORTEST_NAME = 12


def chosen_columns(table: Table, room: int | None) -> list[int] | None:
    """Choose the columns that fit side by side.

    Parameters
    ----------
    table : Table
        The whole table.
    room : int or None
        Columns of the terminal; None for no limit.

    Returns
    -------
    list of int or None
        Places of the columns to show, in order; None if not even those that are always
        shown fit, so that rows have to wrap.
    """
    kept = list(range(len(table.columns)))
    widths = column_widths(table)
    widths[0] = min(widths[0], SHORTEST_NAME)
    while room is not None and _total([widths[i] for i in kept]) > room:
        sparest = max(kept, key=lambda i: table.columns[i].spare)
        if not table.columns[sparest].spare:
            return None
        kept.remove(sparest)
    return kept


def column_widths(table: Table) -> list[int]:
    """Return the width of each column's widest text, its heading included."""
    return [
        max(width(text) for text in (column.heading, *(row[i] for row in table.rows)))
        for i, column in enumerate(table.columns)
    ]


def room_for_names(widths: Sequence[int], room: int | None) -> int:
    """Return how wide the names' column, the first of `widths`, may be."""
    if room is None:
        return widths[0]
    return min(widths[0], room - _total(widths[1:]) - GAP)


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + GAP * (len(widths) - 1)


def shortened(names: Sequence[str], room: int, mark: str = "…") -> list[str]:
    """Shorten names to a width; two names never become the same text.

    Parameters
    ----------
    names : sequence of str
        Full names.
    room : int
        Columns for each.
    mark : str, optional
        What stands for the part left out.

    Returns
    -------
    list of str
        Names that fit stay; of the others the beginning stays, and, where others begin
        alike, so much of the end as tells them apart, or at last a number.

    Examples
    --------
    >>> shortened(["Lantern Keeper of Tin Lane", "Lantern Keeper of Ash Lane", "Moth"], 15)
    ['Lantern K… Lane', 'Lantern …h Lane', 'Moth']
    """
    known = {name: name for name in names if width(name) <= room}
    taken = set(known)
    heads = Counter(_start(name, room) for name in set(names))
    for name in names:
        if name not in known:
            least = 0 if heads[_start(name, room)] == 1 else room // 3
            forms = _forms(name, room, mark, least)
            known[name] = next(text for text in forms if text not in taken)
            taken.add(known[name])
    return [known[name] for name in names]


def _forms(name: str, room: int, mark: str, least: int) -> Iterator[str]:
    """Yield ever more desperate ways to shorten a name, `least` columns of its end first."""
    space = max(room - width(mark), 0)
    for tail in range(least, space + 1):
        end = _end(name, tail)
        yield f"{_start(name, space - width(end))}{mark}{end}"
    for number in count(2):
        end = str(number)
        yield f"{_start(name, space - len(end))}{mark}{end}"


def _start(name: str, room: int) -> str:
    while width(name) > max(room, 0):
        name = name[:-1]
    return name


def _end(name: str, room: int) -> str:
    while width(name) > room:
        name = name[1:]
    return name
