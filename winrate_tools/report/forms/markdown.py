"""A document as markdown; whatever a name holds, it stays a name."""

import re
from urllib.parse import quote

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
from winrate_tools.report.forms.glyphs import visible

MARKUP = re.compile(r"[\\`*<>|\[\]~&$@]|(?<=:)/(?=/)|(?<=\bwww)\.|(?<![^\W_])_|_(?![^\W_])")
LEFT_OUT = "The pictures are left out here; written to a file, the report has them beside it."
BACKTICKS = re.compile(r"`+")
OPENING = re.compile(r"^(\s*)(#+|[+=-]+|\d+[.)])(?=\s|$)")


def render(document: Document, pictures: str | None = None) -> str:
    """Write a document as markdown.

    Parameters
    ----------
    document : Document
        What is to be said.
    pictures : str, optional
        Stem of the files beside it that hold its pictures, see `picture_files`; without it
        they are left out, and a note says so.

    Returns
    -------
    str
        Markdown with tables, which ends in a line break.
    """
    parts = [f"# {escaped(document.title)}"]
    parts += [part for section in document.sections for part in _section(section, pictures)]
    if pictures is None and _pictures(document):
        parts.append(LEFT_OUT)
    return "\n\n".join(parts) + "\n"


def picture_files(document: Document, stem: str) -> dict[str, str]:
    """Write the pictures of a document as files of their own.

    Parameters
    ----------
    document : Document
        What is to be said.
    stem : str
        How their names begin: that of the markdown file without its ending.

    Returns
    -------
    dict of str to str
        File name to SVG, to be written beside the markdown.
    """
    from winrate_tools.report.figures.style import standalone

    return {picture_file(stem, it.name): standalone(it.svg) for it in _pictures(document)}


def picture_file(stem: str, name: str) -> str:
    """Name the file of a picture.

    Examples
    --------
    >>> picture_file("cuts", "luck")
    'cuts.luck.svg'
    """
    return f"{stem}.{name}.svg"


def _pictures(document: Document) -> list[Picture]:
    return [
        block
        for section in document.sections
        for block in section.blocks
        if isinstance(block, Picture)
    ]


def escaped(text: str) -> str:
    r"""Write text so that markdown takes none of it for markup.

    Examples
    --------
    >>> print(escaped("a|b <i> `c`"))
    a\|b \<i\> \`c\`
    """
    text = MARKUP.sub(r"\\\g<0>", visible(text))
    return OPENING.sub(lambda found: found[1] + found[2][:-1] + "\\" + found[2][-1], text)


def _section(section: Section, pictures: str | None) -> list[str]:
    parts = [part for block in section.blocks if (part := _block(block, pictures))]
    return [f"## {escaped(section.title)}", *parts] if section.title and parts else parts


def _block(block: Block, pictures: str | None) -> str:
    match block:
        case Paragraph(text):
            return escaped(text)
        case Entries(items):
            return "\n".join(
                f"- **{escaped(item.lead).strip()}**: {escaped(item.text)}" for item in items
            )
        case Verbatim(text):
            fence = "`" * max(3, 1 + max(map(len, BACKTICKS.findall(text)), default=0))
            return f"{fence}\n{text}\n{fence}"
        case Picture():
            return "" if pictures is None else _picture(block, pictures)
        case Table():
            return _table(block)


def _picture(picture: Picture, stem: str) -> str:
    place = quote(picture_file(stem, picture.name))
    words = f"**{escaped(picture.title)}.** {escaped(picture.caption)}"
    return f"![{escaped(picture.alt)}]({place})\n\n{words}"


def _table(table: Table) -> str:
    rules = ["---:" if column.is_number else "---" for column in table.columns]
    lines = [[column.heading for column in table.columns], *table.rows]
    head, *rows = [[escaped(text) for text in line] for line in lines]
    return "\n".join(f"| {' | '.join(line)} |" for line in [head, rules, *rows])
