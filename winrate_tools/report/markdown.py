"""A document as markdown; whatever a name holds, it stays a name."""

import re

from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Paragraph,
    Section,
    Table,
    Verbatim,
)
from winrate_tools.report.glyphs import visible

MARKUP = re.compile(r"[\\`*<>|\[\]~&$@]|(?<=:)/(?=/)|(?<=\bwww)\.|(?<![^\W_])_|_(?![^\W_])")
BACKTICKS = re.compile(r"`+")
OPENING = re.compile(r"^(\s*)(#+|[+=-]+|\d+[.)])(?=\s|$)")


def render(document: Document) -> str:
    """Write a document as markdown.

    Parameters
    ----------
    document : Document
        What is to be said.

    Returns
    -------
    str
        Markdown with tables, which ends in a line break.
    """
    parts = [f"# {escaped(document.title)}"]
    parts += [part for section in document.sections for part in _section(section)]
    return "\n\n".join(parts) + "\n"


def escaped(text: str) -> str:
    r"""Write text so that markdown takes none of it for markup.

    Examples
    --------
    >>> print(escaped("a|b <i> `c`"))
    a\|b \<i\> \`c\`
    """
    text = MARKUP.sub(r"\\\g<0>", visible(text))
    return OPENING.sub(lambda found: found[1] + found[2][:-1] + "\\" + found[2][-1], text)


def _section(section: Section) -> list[str]:
    titled = [f"## {escaped(section.title)}"] if section.title else []
    return titled + [_block(block) for block in section.blocks]


def _block(block: Block) -> str:
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
        case Table():
            return _table(block)


def _table(table: Table) -> str:
    rules = ["---:" if column.is_number else "---" for column in table.columns]
    lines = [[column.heading for column in table.columns], *table.rows]
    head, *rows = [[escaped(text) for text in line] for line in lines]
    return "\n".join(f"| {' | '.join(line)} |" for line in [head, rules, *rows])
