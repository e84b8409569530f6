"""The glossary: every column that comes in or goes out, with its kind, unit and meaning.

A column means the same wherever it appears. Readers check against the glossary, reports take
their headings from it, and the documentation is made of it.
"""

from typing import Literal, NamedTuple

Kind = Literal[
    "name", "label", "count", "rate", "number", "chance", "rank", "word", "words", "date"
]


class Column(NamedTuple):
    """One column of the glossary.

    Attributes
    ----------
    name : str
        Snake case, the same in every table.
    kind : str
        ``name`` and ``label`` are text; ``count`` is a whole number from 0; ``rate`` and
        ``chance`` are fractions from 0 to 1; ``number`` is any finite number; ``word`` is one
        of a few words; ``words`` is a list in one cell; ``date`` is a day.
    heading : str
        What stands over the column in a report.
    meaning : str
        One sentence for a reader who has never seen the column.
    """

    name: str
    kind: Kind
    heading: str
    meaning: str


def _glossary(*columns: Column) -> dict[str, Column]:
    return {column.name: column for column in columns}


CARD_ROLES = _glossary(
    Column("card", "name", "Card", "The card's name, as its designer wrote it."),
    Column("games", "count", "Games", "Games behind the row."),
    Column("wins", "count", "Wins", "Games won, out of the games of the row."),
    Column("win_rate", "rate", "Win rate", "Wins divided by games, untouched."),
    Column("archetype", "label", "Archetype", "The archetype of the decks behind the row."),
    Column("skill_band", "label", "Skill band", "The group of players behind the row."),
    Column("faction", "label", "Faction", "The identity that the card belongs to."),
    Column("rarity", "label", "Rarity", "How often the card is dealt."),
    Column("role", "label", "Role", "What the card is for."),
    Column(
        "unheld_games",
        "count",
        "Unheld games",
        "Games where the card was in the deck but never in hand.",
    ),
    Column("unheld_wins", "count", "Unheld wins", "Games won, out of the unheld games."),
    Column(
        "mean_pick", "number", "Mean pick", "Mean place in the pack's picks at which it went."
    ),
    Column("drafted", "count", "Drafted", "Copies of the card that drafters took."),
    Column("played", "count", "Played", "Drafted copies that made their owner's deck."),
    Column(
        "player_rate",
        "rate",
        "Players' rate",
        "The usual win rate of the players behind the row.",
    ),
)

RANKING_COLUMNS = _glossary(
    CARD_ROLES["card"],
    CARD_ROLES["faction"],
    CARD_ROLES["rarity"],
    CARD_ROLES["role"],
    CARD_ROLES["games"],
    CARD_ROLES["wins"],
    CARD_ROLES["win_rate"],
    Column(
        "estimate", "rate", "Estimate", "Best estimate of the win rate that the card brings."
    ),
    Column("low", "rate", "Low", "Lower end of the range that agrees with the verdict."),
    Column("high", "rate", "High", "Upper end of the range that agrees with the verdict."),
    Column(
        "chance_below",
        "chance",
        "Chance below",
        "Probability that the true value lies below the line.",
    ),
    Column("rank_low", "rank", "Rank from", "Worst plausible rank; 1 is the weakest card."),
    Column("rank_high", "rank", "Rank to", "Best plausible rank; 1 is the weakest card."),
    Column(
        "chance_worst",
        "chance",
        "Chance among worst",
        "Probability of being among the weakest cards, as many as the shortlist is long.",
    ),
    Column(
        "group",
        "rank",
        "Group",
        "Group of cards that the data can hardly tell apart; 1 is the weakest.",
    ),
    Column("verdict", "word", "Verdict", "cut, keep, or more games."),
    Column("reasons", "words", "Reasons", "Every reason that applies."),
    Column(
        "games_needed",
        "count",
        "Games needed",
        "Further games that would very likely settle the verdict; blank: none would.",
    ),
)

ARCHETYPE_ROLES = _glossary(
    CARD_ROLES["archetype"],
    CARD_ROLES["games"],
    CARD_ROLES["wins"],
    CARD_ROLES["win_rate"],
    CARD_ROLES["skill_band"],
    Column("factions", "label", "Factions", "The identities that the archetype joins."),
)

ARCHETYPE_COLUMNS = _glossary(
    CARD_ROLES["archetype"],
    CARD_ROLES["games"],
    CARD_ROLES["wins"],
    CARD_ROLES["win_rate"],
    Column("estimate", "rate", "Estimate", "Best estimate of the archetype's true win rate."),
    RANKING_COLUMNS["low"],
    RANKING_COLUMNS["high"],
    RANKING_COLUMNS["chance_below"],
    Column(
        "chance_above",
        "chance",
        "Chance above",
        "Probability that the true value lies above the upper line.",
    ),
    Column("verdict", "word", "Verdict", "underpowered, overpowered, balanced, or unsettled."),
    Column(
        "cards_part",
        "number",
        "Cards' part",
        "Win rate that the archetype's cards add against the average archetype's.",
    ),
    Column(
        "own_part",
        "number",
        "Own part",
        "Win rate that is left for the archetype's plan and for how its cards work together.",
    ),
    RANKING_COLUMNS["games_needed"],
)

POOL_ROLES = _glossary(
    CARD_ROLES["card"],
    Column(
        "copies", "count", "Copies", "Copies in the pool; of a candidate, the most to be had."
    ),
    CARD_ROLES["faction"],
    CARD_ROLES["rarity"],
    CARD_ROLES["role"],
    Column("price", "number", "Price", "Price of one copy, all in one money."),
    Column("protected", "word", "Protected", "yes where the card is never to be cut, else no."),
    Column("slot", "label", "Slot", "Special place of the pack that the card is dealt into."),
    Column("archetypes", "words", "Archetypes", "Archetypes that the card supports."),
)

CANDIDATE_ROLES = _glossary(
    *POOL_ROLES.values(),
    CARD_ROLES["games"],
    CARD_ROLES["wins"],
    CARD_ROLES["win_rate"],
    Column(
        "baseline",
        "rate",
        "Baseline",
        "Win rate of an average card where the row's games were played.",
    ),
    Column("guess", "word", "Guess", "weaker, like or stronger than the pool's usual card."),
    Column(
        "spread",
        "rate",
        "Spread",
        "How far off the guess may well be: one standard deviation of win rates.",
    ),
)

MATCH_ROLES = _glossary(
    Column("player", "name", "Player", "Who played."),
    Column("opponent", "name", "Opponent", "Whom the player met."),
    Column("games_won", "count", "Games won", "Games of the match that the player won."),
    Column("games_lost", "count", "Games lost", "Games of the match that the player lost."),
    Column("draws", "count", "Draws", "Games of the match that nobody won."),
    CARD_ROLES["archetype"],
    Column(
        "opponent_archetype",
        "label",
        "Opponent's archetype",
        "The archetype of the opponent's deck.",
    ),
    Column("date", "date", "Date", "The day of the match."),
    Column("cards", "words", "Cards", "Cards of the player's deck that were held or played."),
    Column("first_seat", "word", "First seat", "yes where the player had the first seat."),
)
