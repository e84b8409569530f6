"""Cells that hold one of a few words, in several languages."""

from collections.abc import Iterable, Mapping, Sequence

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

GUESS_WORDS = (
    "weaker, weak, worse, below, less strong, below average, schwächer, schwach, schlechter, "
    "schlecht, weniger stark, unter dem schnitt, unterdurchschnittlich, moins forte, moins "
    "fort, plus faible, faible, moins bonne, moins bon, pire, inférieure, inférieur, en "
    "dessous, más débil, débil, más floja, más flojo, menos fuerte, peor, inferior, más "
    "mala, meno forte, più debole, debole, peggiore, peggio, inferiore, mais fraca, menos "
    "forte, pior, zwakker, minder sterk, słabsza, svagare",
    "like, same, similar, alike, average, usual, equal, wie, gleich, gleich stark, genauso, "
    "ähnlich, durchschnitt, durchschnittlich, im schnitt, mittel, comme, comme les autres, "
    "pareille, pareil, égale, égal, identique, semblable, moyenne, moyen, dans la moyenne, "
    "como, como las demás, igual, parecida, parecido, media, medio, promedio, come, come le "
    "altre, uguale, simile, pari, nella media, gelijk, taka sama, lika",
    "stronger, strong, better, above, above average, stärker, stark, besser, gut, über dem "
    "schnitt, überdurchschnittlich, plus forte, plus fort, forte, fort, meilleure, meilleur, "
    "supérieure, supérieur, au-dessus, más fuerte, fuerte, mejor, superior, più forte, "
    "migliore, meglio, superiore, mais forte, melhor, sterker, silniejsza, starkare",
)
"""Words for a card that is weaker than the pool's usual one, like it, and stronger."""


def read_choice(view: View, role: str, words: Sequence[str], wanted: str) -> Part:
    """Read a column whose cells hold one of a few words.

    Parameters
    ----------
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


def names_choices(cells: Iterable[str], words: Sequence[str]) -> bool:
    """Tell whether cells name two of a few choices or more, and half of them do.

    Examples
    --------
    >>> names_choices(["comme", "", "moins forte"], GUESS_WORDS)
    True
    >>> names_choices(["comme", "Comme"], GUESS_WORDS), names_choices(["comme"], YES_NO)
    (False, False)
    """
    known = _index(words)
    named = [known.get(folded(cell)) for cell in cells if cell.strip() not in NO_LABEL]
    choices = [choice for choice in named if choice is not None]
    return len(set(choices)) > 1 and 2 * len(choices) >= len(named)


def _index(words: Sequence[str]) -> Mapping[str, int]:
    return {
        folded(name): choice for choice, names in enumerate(words) for name in names.split(", ")
    }
