"""Names and labels: kept as written, compared without regard to case and blanks."""

import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.repeats import remembered
from winrate_tools.ingest.checks.findings import Finding, counted, first_few
from winrate_tools.ingest.text.grid import Grid
from winrate_tools.ingest.text.spans import LINE_END

NO_LABEL = frozenset({"", "-", "--", "\u2013", "\u2014", "?", "n/a"})
BREAKS = re.compile("[\n\r\t\v\f\x85\u2028\u2029]")
BLANKS = re.compile("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]")
"""Blanks that look like the plain one and are another letter to a computer."""
Labels = Sequence[str | None]
LONGEST = 200
FORMULA = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
"""How a text begins that some spreadsheet computes, the wide signs among them."""
INVISIBLE = "\u200b\u2060\ufeff"


@remembered
def tidy(name: str) -> str:
    r"""Trim a name, put it on one line, make its blanks plain, and undo a formula's guard.

    Examples
    --------
    >>> tidy(" Ash\nVine "), tidy("Ash\u00a0Vine")
    ('Ash Vine', 'Ash Vine')
    >>> tidy("'=Ash")
    '=Ash'
    """
    name = _trim(name)
    if name.isprintable():
        return name
    name = BLANKS.sub(" ", name)
    return " ".join(filter(None, (part.strip(" ") for part in BREAKS.split(name))))


def _trim(name: str) -> str:
    return unguarded(name.strip().strip(INVISIBLE).strip())


def is_formula(text: str) -> bool:
    """Tell what a spreadsheet would compute, or would if it were not for apostrophes."""
    return text.lstrip("'").startswith(FORMULA)


def unguarded(text: str) -> str:
    """Take off the apostrophe that keeps a text from being a formula.

    Examples
    --------
    >>> unguarded("'=Ash"), unguarded("'Ash'")
    ('=Ash', "'Ash'")
    """
    return text[1:] if text.startswith("'") and is_formula(text) else text


def unprintable(name: str) -> str | None:
    """Return the first control character of a name, such as ``U+0007``."""
    if name.isprintable():
        return None
    for letter in name:
        if unicodedata.category(letter) == "Cc" or letter in INVISIBLE or _turns(letter):
            return f"U+{ord(letter):04X}"
    return None


def _turns(letter: str) -> bool:
    """Tell whether a character turns the direction of the text after it."""
    return unicodedata.bidirectional(letter) in {
        "LRE",
        "RLE",
        "LRO",
        "RLO",
        "LRI",
        "RLI",
        "FSI",
    }


class LabelColumn(NamedTuple):
    """Labels in one spelling each, None for an unknown one, with what was respelt."""

    labels: tuple[str | None, ...]
    notes: tuple[str, ...] = ()


class NameColumn(NamedTuple):
    """Card names in one spelling each, "" for a blank one, with findings and notes."""

    labels: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()


def read_names(grid: Grid, number: int, role: str = "card") -> NameColumn:
    """Read the column of names; a card called None, NA or 007 keeps its name.

    Returns
    -------
    NameColumn
        Trimmed names; spellings that differ only in case, blanks or form become the first.
    """
    written = [row.cells[number - 1] for row in grid.rows]
    once = {cell: tidy(cell) for cell in dict.fromkeys(written)}
    names = [once[cell] for cell in written]
    wrong = {
        cell: problems
        for cell, name in once.items()
        if (problems := list(_name_problems(cell.strip(), name, grid.delimiter, role)))
    }
    findings = [
        grid.finding(row, number, message, fix)
        for row, cell in enumerate(written)
        if cell in wrong
        for message, fix in wrong[cell]
    ]
    broken = {cell for cell, name in once.items() if name and BREAKS.search(_trim(cell))}
    joined = [row for row, cell in enumerate(written) if cell in broken]
    notes = [
        f"{a(role)} name over several lines was put on one: {names[row]!r}" for row in joined
    ]
    spelling = one_spelling(names)
    labels = tuple(spelling.get(name, "") for name in names)
    said = (*notes, *blanks_note(role, written), *respelt(role, spelling))
    return NameColumn(labels, tuple(findings), said)


def read_labels(grid: Grid, number: int, role: str) -> LabelColumn:
    """Read a column of labels, unknown ones as None."""
    written = [row.cells[number - 1] for row in grid.rows]
    once = {cell: tidy(cell) for cell in dict.fromkeys(written)}
    known = [None if once[cell] in NO_LABEL else once[cell] for cell in written]
    spelling = one_spelling(known)
    labels = tuple(spelling[label] if label else None for label in known)
    return LabelColumn(labels, (*blanks_note(role, written), *respelt(role, spelling)))


def blanks_note(role: str, written: Sequence[str]) -> Iterator[str]:
    """Say in which names a blank of another kind was made a plain one."""
    once = dict.fromkeys(written)
    odd = dict.fromkeys(tidy(name) for name in once if BLANKS.search(_trim(name)))
    if odd:
        yield (
            f"{role.replace('_', ' ')}: odd blanks, such as those that keep a line from "
            f"breaking, were read as plain ones in {counted(len(odd), 'name')}: "
            f"{first_few(list(odd))}"
        )


def contradictions(
    card: Sequence[str],
    attributes: Mapping[str, Labels],
    rows: Sequence[int],
    line_of: Callable[[int], str],
) -> Iterator[str]:
    """Say which cards carry two labels of one attribute; the first one is kept."""
    for role, labels in attributes.items():
        first: dict[str, int] = {}
        told: set[tuple[str, str | None]] = set()
        for row in rows:
            start = first.setdefault(card[row], row) if labels[row] else row
            if labels[row] != labels[start] and (card[row], labels[row]) not in told:
                told.add((card[row], labels[row]))
                places = (line_of(start), line_of(row))
                yield clash_note(card[row], role, (labels[start], labels[row]), places)


def clash_note(
    card: str, role: str, labels: tuple[object, object], places: tuple[str, str]
) -> str:
    """Say that a card has one label here and another there.

    Examples
    --------
    >>> clash_note("Ash", "rarity", ("rare", "odd"), ("line 2", "line 9"))
    "'Ash' has rarity 'rare' on line 2 and 'odd' on line 9: the first was kept"
    """
    (first, other), (here, there) = labels, places
    return (
        f"{card!r} has {role} {first!r} on {here} and {other!r} on {there}: the first was kept"
    )


def a(noun: str) -> str:
    """Put the right article before a noun.

    Examples
    --------
    >>> a("card"), a("archetype")
    ('a card', 'an archetype')
    """
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _name_problems(
    written: str, name: str, delimiter: str, role: str
) -> Iterator[tuple[str, str]]:
    one = f"{a(role)} name"
    if not name:
        yield f"{one} was wanted, got a blank cell", f"name the {role}, or use --skip-bad"
    elif len(name) > LONGEST:
        yield (
            f"{one} of at most {LONGEST} letters was wanted, this one has {len(name)}",
            f"shorten the name, or see whether --map {role} names the right column",
        )
    elif delimiter in written and LINE_END.search(written):
        yield f"{one} holds whole lines of the table", "close the quote that opens here"
    elif code := unprintable(name):
        yield f"{one} holds the invisible character {code}", "type the name afresh"


def one_spelling(names: Sequence[str | None]) -> dict[str, str]:
    """Map each spelling that differs only in case, blanks or form to the first one."""
    first: dict[str, str] = {}
    once = dict.fromkeys(name for name in names if name)
    return {name: first.setdefault(folded(name), name) for name in once}


def respelt(role: str, spelling: Mapping[str, str]) -> Iterator[str]:
    """Say which names were read in another spelling."""
    for old, new in spelling.items():
        if old != new:
            yield f"{role.replace('_', ' ')} {old!r} was read as {new!r}"
