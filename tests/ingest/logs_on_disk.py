"""Random games, the three layouts of a log that tells them, and their counts by hand."""

from collections import Counter
from dataclasses import dataclass

from hypothesis import strategies as st

CARDS = ("Ash Vine", "Tin Moth", 'Wax "Heron"', "Fox", "Käfer", "0x1F")
OUTCOMES = {"yes": 1, "no": 0, "draw": None}


@dataclass(frozen=True)
class Game:
    """One game: its deck's cards, and whether each copy came to hand."""

    won: str
    archetype: str
    skill: str
    deck: int
    copies: tuple[tuple[str, bool], ...]


Cell = tuple[str, str | None, str | None]

games = st.lists(
    st.builds(
        Game,
        st.sampled_from(list(OUTCOMES)),
        st.sampled_from(["Kites", "Masks", ""]),
        st.sampled_from(["new", "old"]),
        st.integers(1, 3),
        st.lists(st.tuples(st.sampled_from(CARDS), st.booleans()), min_size=1, max_size=5).map(
            tuple
        ),
    ),
    min_size=1,
    max_size=12,
)


def counted(played: list[Game]) -> dict[Cell, tuple[int, ...]]:
    """Count games the plain way."""
    cells: dict[Cell, Counter[str]] = {}
    for game in played:
        won = OUTCOMES[game.won]
        if won is None:
            continue
        for card, held in game.copies:
            cell = cells.setdefault((card, game.archetype or None, game.skill), Counter())
            cell.update({"games": held, "wins": held * won})
            cell.update({"rest": not held, "rest_wins": (not held) * won})
    return {
        key: tuple(cell[name] for name in ("games", "wins", "rest", "rest_wins"))
        for key, cell in cells.items()
    }


def quoted(cell: object, delimiter: str) -> str:
    text = str(cell)
    if any(mark in text for mark in ('"', delimiter, "\n")):
        return '"' + text.replace('"', '""') + '"'
    return text


def written(rows: list[list[object]], delimiter: str = ",", end: str = "\n") -> str:
    return "".join(delimiter.join(quoted(c, delimiter) for c in row) + end for row in rows)


def log_lines(played: list[Game], layout: str) -> list[list[object]]:
    """Lay games out as rows of cells, the header first."""
    head = ["game", "won", "archetype", "skill", "deck"]
    wide = [*CARDS, *(f"{card} held" for card in CARDS)]
    rows: list[list[object]] = [
        head + {"long": ["card", "held"], "list": ["cards", "held"], "wide": wide}[layout]
    ]
    for number, game in enumerate(played, 1):
        first = [number, game.won, game.archetype, game.skill, game.deck]
        held = [card for card, at in game.copies if at]
        if layout == "long":
            rows += [[*first, card, int(at)] for card, at in game.copies]
        elif layout == "list":
            rows.append([*first, "|".join(card for card, _ in game.copies), "|".join(held)])
        else:
            deck = Counter(card for card, _ in game.copies)
            hand = Counter(held)
            rows.append([*first, *(deck[c] for c in CARDS), *(hand[c] for c in CARDS)])
    return rows
