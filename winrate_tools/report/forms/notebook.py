"""A document as HTML for a notebook: it brings its own few rules of style, and no script."""

from base64 import b64encode
from html import escape

from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Paragraph,
    Picture,
    Section,
    Table,
    Verbatim,
)
from winrate_tools.report.figures.style import standalone
from winrate_tools.report.forms.glyphs import visible

ALIGNED = {
    True: ' style="text-align:right;white-space:nowrap"',
    False: ' style="text-align:left"',
}
"""Style of a cell, by whether its column holds numbers."""
SCROLLED = '<div style="max-height:32em;overflow:auto">'
"""A long table scrolls in a frame of its own."""


def render(document: Document) -> str:
    """Write a document as HTML, with the same words and digits as every other form.

    Returns
    -------
    str
        Headings, paragraphs, lists, tables and pictures, names escaped; a document of one
        section without a title needs no heading of its own.

    Examples
    --------
    >>> print(render(Document("Games", (Section("", (Paragraph("9 of <b>"),)),))))
    <p>9 of &lt;b&gt;</p>
    """
    parts = [part for section in document.sections for part in _section(section)]
    if [section.title for section in document.sections] != [""]:
        parts.insert(0, f"<h3>{_said(document.title)}</h3>")
    return "\n".join(parts)


def _said(text: str) -> str:
    return escape(visible(text))


def _section(section: Section) -> list[str]:
    title = [f"<h4>{_said(section.title)}</h4>"] if section.title else []
    return [*title, *map(_block, section.blocks)]


def _block(block: Block) -> str:
    match block:
        case Paragraph(text):
            return f"<p>{_said(text)}</p>"
        case Entries(items):
            points = (f"<li><b>{_said(item.lead)}</b>: {_said(item.text)}" for item in items)
            return f"<ul>{''.join(points)}</ul>"
        case Verbatim(text):
            return f"<pre>{escape(text)}</pre>"
        case Picture():
            return _picture(block)
        case Table():
            return f"{SCROLLED}{_table(block)}</div>"


def _picture(picture: Picture) -> str:
    """Write a picture as an image, so that no two of a notebook share their names and rules."""
    data = b64encode(standalone(picture.svg).encode()).decode()
    image = f'<img alt="{_said(picture.alt)}" src="data:image/svg+xml;base64,{data}">'
    return f"<p><b>{_said(picture.title)}.</b> {_said(picture.caption)}</p>\n{image}"


def _table(table: Table) -> str:
    looks = [ALIGNED[column.is_number] for column in table.columns]
    head = [column.heading for column in table.columns]
    lines = [_line("th", head, looks), *(_line("td", row, looks) for row in table.rows)]
    return "<table>\n" + "\n".join(lines) + "\n</table>"


def _line(tag: str, cells: list[str] | tuple[str, ...], looks: list[str]) -> str:
    parts = (
        f"<{tag}{look}>{_said(cell)}</{tag}>" for cell, look in zip(cells, looks, strict=True)
    )
    return f"<tr>{''.join(parts)}</tr>"
