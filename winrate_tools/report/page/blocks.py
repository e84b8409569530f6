"""The blocks of a document as HTML; whatever a name holds, it stays a name."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape

from winrate_tools.report.document import (
    Block,
    Entries,
    Paragraph,
    Picture,
    Section,
    Table,
    TableColumn,
    Tone,
    Verbatim,
)
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.report.page.pictures import slim_picture

CLASSES: Mapping[Tone, str] = {"cut": "cut", "keep": "keep", "more games": "wait", "": ""}
MUCH = 4
"""Columns as spare as this go first where there is little room."""
COLUMNS = {
    "n": ("", "{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}"),
    "s": ("@media screen and (max-width:700px){", "{display:none}}"),
    "t": ("@media screen and (max-width:560px){", "{display:none}}"),
}
"""What is done to columns of numbers, and to those that narrow and very narrow pages spare."""


def said(text: str) -> str:
    r"""Write a text between tags so that it stays one, whatever it holds.

    Examples
    --------
    >>> print(said('<b> & "q" \u202e'))
    &lt;b&gt; &amp; "q" \u202e
    """
    return escape(visible(text), quote=False)


def blocks_html(section: Section, live: Mapping[str, str] | None = None) -> str:
    """Write what a section says, without its title.

    Parameters
    ----------
    section : Section
        A part of a document.
    live : mapping of str to str, optional
        Name to a sentence at the start of a paragraph that a script is to find by that name.

    Returns
    -------
    str
        Paragraphs, lists and tables.
    """
    return "".join(_block(block, live or {}) for block in section.blocks)


def figure_html(picture: Picture) -> str:
    """Write a picture with its caption, in a frame that scrolls where it is too large."""
    return (
        f"<figure id=figure-{picture.name}><figcaption>{said(picture.caption)}</figcaption>"
        f"<div class=scroller role=group aria-labelledby={picture.name}-title tabindex=0>"
        f"{slim_picture(picture.svg)}</div></figure>"
    )


def _block(block: Block, live: Mapping[str, str]) -> str:
    match block:
        case Paragraph(text):
            return f"<p>{_paragraph(text, live)}"
        case Picture(title=title):
            return f"<h3>{said(title)}</h3>{figure_html(block)}"
        case Entries(items):
            points = (f"<li><b>{said(item.lead)}</b>: {said(item.text)}" for item in items)
            return f"<ul>{''.join(points)}</ul>"
        case Verbatim(text):
            return f"<pre>{escape(text)}</pre>"
        case Table():
            return f"<div class=scroller>{table_html(block)}</div>"


def _paragraph(text: str, live: Mapping[str, str]) -> str:
    for name, sentence in live.items():
        if text.startswith(sentence):
            rest = said(text.removeprefix(sentence))
            return f"<span data-live={name}>{said(sentence)}</span>{rest}"
    return said(text)


def table_html(table: Table, *, headings: Sequence[str] = (), tones: bool = False) -> str:
    """Write a table; what its columns have in common is said once, as classes of the table.

    Parameters
    ----------
    table : Table
        The first column holds the names.
    headings : sequence of str, optional
        Attributes of the headings, one a column.
    tones : bool, optional
        Whether the rows take the classes of their tones.

    Returns
    -------
    str
        A table whose cells and rows leave out their end tags, as HTML allows.
    """
    marks = headings or ("",) * len(table.columns)
    head = "".join(
        f"<th{mark}>{said(column.heading)}"
        for column, mark in zip(table.columns, marks, strict=True)
    )
    classes = [CLASSES[tone] for tone in table.tones] if tones else [""] * len(table.rows)
    rows = "".join(
        f"<tr{f' class={name}' if name else ''}><th>{'<td>'.join(map(said, row))}"
        for row, name in zip(table.rows, classes, strict=True)
    )
    named = " ".join(_looks(table.columns))
    return f'<table class="{named}"><thead><tr>{head}<tbody>{rows}</table>'


def column_style(tables: Iterable[Table], kinds: Iterable[str] = COLUMNS) -> str:
    """Write the style of the columns of tables: of numbers, and of what may be spared.

    Parameters
    ----------
    tables : iterable of Table
        Those of the page.
    kinds : iterable of str, optional
        What is done to them, keys of `COLUMNS`.

    Returns
    -------
    str
        One rule a kind.

    Examples
    --------
    >>> table = Table((TableColumn("Card"), TableColumn("Why", spare=1)), ())
    >>> column_style([table])
    '@media screen and (max-width:560px){.t2>*>*>:nth-child(2){display:none}}'
    """
    cells: dict[str, list[str]] = {}
    for look in sorted({look for table in tables for look in _looks(table.columns)}):
        cells.setdefault(look[0], []).append(f".{look}>*>*>:nth-child({look[1:]})")
    return "".join(
        f"{COLUMNS[kind][0]}{','.join(cells[kind])}{COLUMNS[kind][1]}"
        for kind in kinds
        if kind in cells
    )


def _looks(columns: Sequence[TableColumn]) -> Iterator[str]:
    """Name the columns of numbers, and those that a narrow page can spare."""
    for place, column in enumerate(columns, start=1):
        if column.is_number:
            yield f"n{place}"
        if column.spare:
            yield f"{'s' if column.spare >= MUCH else 't'}{place}"
