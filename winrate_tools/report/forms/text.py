"""A document as text for a terminal or a pipe: aligned, and nothing ever cut but names.

Pictures are left out: what they show is said by tables and sentences.
"""

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
from winrate_tools.report.forms.glyphs import sayable, visible, width
from winrate_tools.report.forms.grids import table_lines
from winrate_tools.report.forms.screen import Screen

PROSE = 88
"""Widest running text, in columns: longer lines are hard to follow."""


def render(document: Document, screen: Screen | None = None) -> str:
    """Write a document as text.

    Parameters
    ----------
    document : Document
        What is to be said.
    screen : Screen, optional
        What it is written for; an endless, colourless UTF-8 stream by default.

    Returns
    -------
    str
        Lines, the last of which ends too.
    """
    screen = screen or Screen()
    parts = [_heading(document.title, "=", screen)]
    parts += [part for section in document.sections for part in _section(section, screen)]
    return "\n\n".join(part for part in parts if part) + "\n"


def _heading(title: str, rule: str, screen: Screen) -> str:
    lines = _wrapped(title, screen)
    return "\n".join([*lines, rule * max(width(line) for line in lines)])


def _section(section: Section, screen: Screen) -> list[str]:
    parts = [part for block in section.blocks if (part := _block(block, screen))]
    return [_heading(section.title, "-", screen), *parts] if section.title and parts else parts


def _block(block: Block, screen: Screen) -> str:
    match block:
        case Paragraph(text):
            return "\n".join(_wrapped(text, screen))
        case Entries(items):
            return "\n".join(
                line
                for item in items
                for line in _wrapped(f"{item.lead}: {item.text}", screen, first="- ", rest="  ")
            )
        case Verbatim(text):
            return "\n".join(sayable(text.splitlines(), screen.encoding))
        case Picture():
            return ""
        case Table():
            return "\n".join(table_lines(block, screen))


def _wrapped(text: str, screen: Screen, first: str = "", rest: str = "") -> list[str]:
    """Break running text between words; a word too long for the line is left whole."""
    [text] = sayable([visible(text)], screen.encoding)
    room = min(PROSE, screen.width or PROSE)
    lines, line = [], first
    for word in text.split():
        longer = f"{line}{'' if line in {first, rest} else ' '}{word}"
        if width(longer) > room and line not in {first, rest}:
            lines.append(line)
            longer = f"{rest}{word}"
        line = longer
    return [*lines, line]
