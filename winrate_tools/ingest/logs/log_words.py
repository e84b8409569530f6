"""Plain words of a game log: what its headers say, and how a game is said to have ended."""

from winrate_tools.columns import Column
from winrate_tools.ingest.roles.vocabulary import normalise

LOG_ROLES = {
    column.name: column
    for column in (
        Column("game", "name", "Game", "What tells one game from another."),
        Column("won", "word", "Won", "Whether the deck of the row won the game."),
        Column("card", "name", "Card", "One card of the deck: a row for each of its cards."),
        Column("cards", "words", "Cards", "All cards of the deck, in one list."),
        Column(
            "held", "words", "Held", "Whether the card was held, or the list of those held."
        ),
        Column("player", "name", "Player", "Who played the deck."),
        Column("skill", "label", "Skill", "The player's skill: a band's name or a number."),
        Column("archetype", "label", "Archetype", "The archetype of the deck."),
        Column("deck", "name", "Deck", "What tells one deck from another, over its games."),
    )
}
"""What a column of a log can hold."""

HEADERS = {
    "game": "game, games, game id, game number, match, match id, spiel, partie, partida",
    "won": (
        "won, win, wins, result, outcome, victory, game won, has won, gewonnen, sieg, "
        "ergebnis, gagné, victoire, résultat, ganada, victoria, resultado, vinta, "
        "vittoria, risultato"
    ),
    "card": "card, card name, karte, kartenname, carte, carta, kort, karta, kaart",
    "cards": (
        "cards, deck list, decklist, deck cards, cards in deck, main deck, karten, deckliste, "
        "cartes, cartas, carte del mazzo"
    ),
    "held": (
        "held, in hand, was held, cards held, held cards, cards in hand, hand, drawn, "
        "cards drawn, auf der hand, gezogen, en main, en mano, in mano"
    ),
    "player": "player, player id, player name, pilot, spieler, joueur, jugador, giocatore",
    "skill": (
        "skill, skill band, skill group, skill level, rating, strength, player rate, "
        "player win rate, player group, spielstärke, niveau, nivel"
    ),
    "archetype": (
        "archetype, deck type, deck archetype, archetyp, archétype, arquetipo, archetipo"
    ),
    "deck": "deck, deck id, deck number, run, run id, entry, entry id, mazo, mazzo",
}
_ROLE = {normalise(word): role for role, words in HEADERS.items() for word in words.split(", ")}

YES = frozenset(
    {"1", "1.0", "true", "t", "yes", "y", "x", "won", "win", "w", "victory", "ja", "j", "sieg"}
    | {"gewonnen", "oui", "o", "victoire", "gagné", "sí", "si", "s", "victoria", "vittoria"}
    | {"wahr", "vrai", "verdadero", "vero"}
)
NO = frozenset(
    {"0", "0.0", "false", "f", "no", "n", "lost", "loss", "l", "defeat", "nein", "niederlage"}
    | {"verloren", "non", "défaite", "perdu", "derrota", "sconfitta", "falsch", "faux", "falso"}
)
NEITHER = frozenset(
    {"", "-", "\u2013", "\u2014", "?", "n/a", "draw", "drawn", "tie", "tied", "none", "null"}
    | {"unentschieden", "remis", "nul", "empate", "pareggio", "unknown", "abandoned"}
)
"""A game without a winner, or without a record of one."""


def log_role(header: str) -> str | None:
    """Return the role that a header of a log names.

    Examples
    --------
    >>> log_role("Match_ID"), log_role("turns")
    ('game', None)
    """
    return _ROLE.get(normalise(header))


def yes_or_no(cell: str) -> bool | None:
    """Read a cell such as ``won``, ``yes`` or ``0``; None for a draw or an unknown one.

    Raises
    ------
    ValueError
        If the cell says neither.

    Examples
    --------
    >>> yes_or_no("Win"), yes_or_no("0"), yes_or_no("draw")
    (True, False, None)
    """
    word = cell.strip().casefold()
    if word in NEITHER:
        return None
    if word in YES or word in NO:
        return word in YES
    msg = f"yes or no was wanted (won or lost, 1 or 0), got {cell.strip()!r}"
    raise ValueError(msg)
