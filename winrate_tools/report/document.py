"""A report as plain data: what is said, before anyone decides how it looks.

Every text here is plain: a renderer escapes what its own format would take for markup, so a
card may be called ``a|b`` or ``<b>`` without harm.
"""

from typing import Literal, NamedTuple

Tone = Literal["cut", "keep", "more games", ""]


class Paragraph(NamedTuple):
    """Running text."""

    text: str


class Entry(NamedTuple):
    """One item of a list: what it is about, and what is said of it."""

    lead: str
    text: str


class Entries(NamedTuple):
    """A list."""

    items: tuple[Entry, ...]


class TableColumn(NamedTuple):
    """One column of a table.

    Attributes
    ----------
    heading : str
        What stands over it.
    is_number : bool
        Numbers stand to the right.
    spare : int
        0 for a column that is always shown; where there is no room the highest goes first.
    is_toned : bool
        Whether its cells take the row's tone.
    """

    heading: str
    is_number: bool = False
    spare: int = 0
    is_toned: bool = False


class Table(NamedTuple):
    """A table whose first column holds names, the only cells that may be shortened.

    Attributes
    ----------
    columns : tuple of TableColumn
        The first one holds the names.
    rows : tuple of tuple of str
        One text a column.
    tones : tuple of str
        One a row, or () for none.
    """

    columns: tuple[TableColumn, ...]
    rows: tuple[tuple[str, ...], ...]
    tones: tuple[Tone, ...] = ()


class Verbatim(NamedTuple):
    """Lines that stand as they are, such as a raw line with a caret under a cell."""

    text: str


class Picture(NamedTuple):
    """A picture, with words for those who cannot see it.

    Attributes
    ----------
    name : str
        One word, for file names and for ids in a page.
    title : str
        What it shows, in a few words.
    caption : str
        How to read it.
    alt : str
        What there is to be seen, numbers included.
    svg : str
        One ``<svg>`` element that takes its colours from the page around it.
    """

    name: str
    title: str
    caption: str
    alt: str
    svg: str


Block = Paragraph | Entries | Table | Verbatim | Picture


class Section(NamedTuple):
    """A titled part of a report; an untitled one opens it."""

    title: str
    blocks: tuple[Block, ...]


class Document(NamedTuple):
    """A whole report."""

    title: str
    sections: tuple[Section, ...]
