"""Any document as one HTML file to read, print or send: no script, nothing to fetch."""

from winrate_tools.report.document import Document, Section, Table
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.report.page.blocks import blocks_html, column_style, said
from winrate_tools.report.page.pictures import shapes
from winrate_tools.report.page.style import digest, page_style

PAGE = """\
<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<link rel="icon" href="data:,">
<style>{style}</style>
</head>
<body>
<svg class="figure shapes" aria-hidden="true">{shapes}</svg>
<main>
<h1>{title}</h1>
{sections}
</main>
</body>
</html>
"""


def plain_page(document: Document) -> str:
    """Write a document as a page that only shows it.

    Returns
    -------
    str
        HTML with its style inside; the same document gives the same bytes.

    Examples
    --------
    >>> page = plain_page(Document("What <changed>", ()))
    >>> "<h1>What &lt;changed&gt;</h1>" in page, "<script" in page
    (True, False)
    """
    tables = [table for section in document.sections for table in _tables(section)]
    style = page_style("plain.css") + column_style(tables, "n") + _stacked(document)
    return PAGE.format(
        policy=f"default-src 'none'; style-src {digest(style)}; img-src data:",
        title=said(document.title),
        style=style,
        shapes=shapes(),
        sections="\n".join(map(_section, document.sections)),
    )


def _tables(section: Section) -> list[Table]:
    return [block for block in section.blocks if isinstance(block, Table)]


def _stacked(document: Document) -> str:
    """Name each cell by its column where a narrow screen stacks the cells of a row."""
    names = "".join(
        f"section:nth-of-type({part})>div:nth-of-type({place}) td:nth-child({cell})::before"
        f'{{content:"{_quoted(column.heading)}: "}}'
        for part, section in enumerate(document.sections, start=1)
        for place, table in enumerate(_tables(section), start=1)
        for cell, column in enumerate(table.columns[1:], start=2)
    )
    return f"@media screen and (max-width:760px){{{names}}}" if names else ""


def _quoted(text: str) -> str:
    """Write a text between the quotes of a style sheet so that it stays one."""
    return "".join(
        char if char.isalnum() or char in " .,%" else f"\\{ord(char):x} "
        for char in visible(text)
    )


def _section(section: Section) -> str:
    title = f"<h2>{said(section.title)}</h2>\n" if section.title else ""
    return f"<section>\n{title}{blocks_html(section)}\n</section>"
