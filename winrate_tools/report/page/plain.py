"""Any document as one HTML file to read, print or send: no script, nothing to fetch."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files

from winrate_tools.report.document import Document, Section, Table
from winrate_tools.report.figures.style import PAGE_RULES
from winrate_tools.report.page.blocks import blocks_html, column_style, said
from winrate_tools.report.page.pictures import shapes
from winrate_tools.report.page.slim import slim_style
from winrate_tools.report.palette import DARK, LIGHT, variables

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

    Parameters
    ----------
    document : Document
        What is to be said.

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
    blocks = [block for section in document.sections for block in section.blocks]
    style = _style() + column_style(block for block in blocks if isinstance(block, Table))
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return PAGE.format(
        policy=f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:",
        title=said(document.title),
        style=style,
        shapes=shapes(),
        sections="\n".join(map(_section, document.sections)),
    )


def _section(section: Section) -> str:
    title = f"<h2>{said(section.title)}</h2>\n" if section.title else ""
    return f"<section>\n{title}{blocks_html(section)}\n</section>"


@cache
def _style() -> str:
    themes = (
        f":root{{{variables(LIGHT)}}}\n"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{variables(DARK)}}}}}\n"
    )
    rules = files("winrate_tools.report.page") / "templates" / "plain.css"
    return slim_style(f"{themes}{PAGE_RULES}\n{rules.read_text(encoding='utf-8')}")
