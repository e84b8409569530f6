"""Cells that hold one of a few words, in several languages."""

from collections.abc import Mapping, Sequence

import numpy as np

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import NO_LABEL
from winrate_tools.ingest.roles.view import Part, View, word

LEAVE_BLANK = "write one of these words, or leave the cell blank"
YES_NO = (
    "no, n, false, off, 0, nein, falsch, non, faux, non protégée, falso, não, nee, nie, nej",
    "yes, y, true, on, 1, x, ✓, ✔, ja, j, wahr, oui, vrai, sí, si, vero, verdadero, "
    "verdadeiro, sim, tak",
)
"""Words for no and for yes; their places in this tuple are the numbers they are read as."""


def read_choice(view: View, role: str, words: Sequence[str], wanted: str) -> Part:
    """Read a column whose cells hold one of a few words.

    Parameters
    ----------
    view : View
        The file and its roles.
    role : str
        Its role.
    words : sequence of str
        For each choice the words that name it, parted by commas.
    wanted : str
        The choices, for a message.

    Returns
    -------
    Part
        The place of each cell's choice in `words`, NaN where the cell is blank or wrong.
    """
    known = _index(words)
    cells = view.sheet.grid.column(view.where[role])
    findings = []
    values = np.full(len(cells), np.nan)
    for row, cell in enumerate(cells):
        if (choice := known.get(folded(cell))) is not None:
            values[row] = choice
        elif cell not in NO_LABEL:
            message = f"{word(role)} must be {wanted}, got {view.cell(row, role)!r}"
            findings.append(view.finding(row, role, message, LEAVE_BLANK))
    return Part({role: values}, tuple(findings))


def _index(words: Sequence[str]) -> Mapping[str, int]:
    return {
        folded(name): choice for choice, names in enumerate(words) for name in names.split(", ")
    }
