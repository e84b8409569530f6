"""Scores in one cell, such as ``2-1``: games won, lost and, if any, drawn."""

import re
from collections.abc import Iterator

import numpy as np

from winrate_tools.ingest.cells.names import NO_LABEL
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.view import MEND_OR_SKIP, Part, View, rows_where, word
from winrate_tools.tables import Numbers

PARTS = ("games_won", "games_lost", "draws")
_SCORE = re.compile(
    r"(\d{1,4})(?: ?[-:\u2013] ?(\d{1,4}))(?: ?[-:\u2013] ?(\d{1,4}))?", re.ASCII
)


def read_scores(view: View, known: dict[str, Numbers]) -> Part:
    """Read a column of scores, and compare it with what columns of their own say.

    Returns
    -------
    Part
        Those of `PARTS` that no column says, NaN where the score is blank or wrong; draws are
        0 where a score names none.
    """
    cells = view.sheet.grid.column(view.where["score"])
    found = [_SCORE.fullmatch(cell) for cell in cells]
    parts = np.array(
        [[float(each or 0) for each in one.groups()] if one else [np.nan] * 3 for one in found]
    )
    findings = [
        view.finding(
            row, "score", f"a score such as 2-1 was wanted, got {cell!r}", MEND_OR_SKIP
        )
        for row, cell in enumerate(cells)
        if found[row] is None and cell not in NO_LABEL
    ]
    read = dict(zip(PARTS, parts.T, strict=True))
    for role in PARTS:
        if role in known:
            findings += _contradictions(view, role, known[role], read.pop(role))
    return Part(read, tuple(findings))


def _contradictions(view: View, role: str, known: Numbers, read: Numbers) -> Iterator[Finding]:
    for row in rows_where(~np.isnan(known) & ~np.isnan(read) & (known != read)):
        score = view.cell(row, "score")
        message = f"score {score} contradicts {word(role)} {view.cell(row, role)}"
        yield view.finding(row, "score", message)
