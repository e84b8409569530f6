"""A ranking as a table in a notebook."""

from html import escape

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report.cards.sections import ranking as ranking_document
from winrate_tools.report.document import Block, Paragraph, Table
from winrate_tools.tables import Source


def notebook_table(pool: PoolVerdict, source: Source) -> str:
    """Write a ranking as HTML, with the same words and digits as every other report.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool.
    source : Source
        Where its counts came from.

    Returns
    -------
    str
        Paragraphs and a table, names escaped.
    """
    document = ranking_document(pool, source, pool.cards)
    return "\n".join(_block(block) for part in document.sections for block in part.blocks)


def _block(block: Block) -> str:
    if isinstance(block, Paragraph):
        return f"<p>{escape(block.text)}</p>"
    if not isinstance(block, Table):
        msg = f"a ranking holds paragraphs and tables, got {type(block).__name__}"
        raise TypeError(msg)
    head = "".join(f"<th>{escape(column.heading)}</th>" for column in block.columns)
    rows = [
        f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in row)}</tr>" for row in block.rows
    ]
    return f"<table>\n<tr>{head}</tr>\n" + "\n".join(rows) + "\n</table>"
