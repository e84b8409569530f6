"""The glossary of reasons: what each one tells a reader, and what it tells of one card."""

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words

REASONS: dict[str, str] = {
    "weak": "what it brings lies below the line by more than luck explains",
    "trap": "likely weak, yet taken earlier or played more than most, so it costs games",
    "unplayed": "hardly ever played, whatever its win rate",
    "few games": "too few games so far for how near the line it lies",
    "on the line": "so close to the line that hardly any number of games would part them",
    "hidden company": "what its record owes to its company cannot be told from these counts",
    "newcomer trap": "weak in the hands of weaker players, and not of stronger ones",
    "narrow": "good in one archetype, weak in its others",
    "weak home": "looks weak only because its archetype or faction is",
    "weak hands": "looks weak only because of who plays it",
}


LUCK = 0.9
"""Share of the records of cards on the line that luck is said to explain: all but 1 in 20 on
either side. Common practice, no source."""
UNPLAYED_BY_GAMES = "hardly ever played by its games here, or new to the pool"


def explain(reason: str) -> str:
    """Say what a reason means; one that the glossary lacks speaks for itself.

    Examples
    --------
    >>> explain("narrow")
    'good in one archetype, weak in its others'
    """
    return REASONS.get(reason, reason)


def why(card: CardVerdict, pool: PoolVerdict) -> str:
    """Say why a card was judged as it was, every reason that applies.

    Returns
    -------
    str
        Explanations parted by semicolons; that of a weak card says what its record is to that,
        since a record above the line may be a poor one, and one below it a fair one.
    """
    return "; ".join(_told(reason, card, pool) for reason in card.reasons)


def _told(reason: str, card: CardVerdict, pool: PoolVerdict) -> str:
    if reason == "unplayed" and not pool.shows_use:
        return UNPLAYED_BY_GAMES
    return _weak(card, pool) if reason == "weak" else explain(reason)


def _weak(card: CardVerdict, pool: PoolVerdict) -> str:
    if card.win_rate is None or card.expected_rate is None or not card.games:
        return explain("weak")
    record, usual = words.percent(card.win_rate), words.percent(card.expected_rate)
    is_poor = card.win_rate - card.expected_rate < pool.line - pool.beliefs.mean
    if is_poor and card.win_rate < pool.line:
        if _is_beyond_luck(card.win_rate, card.games, pool):
            return "its record lies below the line by more than luck explains"
        return f"{_all_evidence(pool)} together put it below the line"
    if is_poor:
        return (
            f"its record of {record} is poor in its company, where an average card would have "
            f"won about {usual}"
        )
    if other := _other_evidence(pool):
        return (
            f"{other}, rather than its record of {record}, where an average card would have "
            f"won about {usual}"
        )
    return explain("weak")


def _is_beyond_luck(record: float, games: int, pool: PoolVerdict) -> bool:
    """Whether hardly any card that is worth the line has as poor a record by luck."""
    from winrate_tools.decide.cards.luck import funnel

    [low], _ = funnel([games], pool.line, pool.design_effect, level=LUCK)
    return bool(record < low)


def _all_evidence(pool: PoolVerdict) -> str:
    """Name all that speaks of a card, its record first."""
    told = ["its record"]
    told += ["how drafters treat it"] if pool.usage_columns else []
    told += ["its games in hand against those in the deck"] if pool.has_unheld else []
    told += ["what is usual of cards like it"] if len(told) == 1 else []
    return f"{', '.join(told[:-1])} and {told[-1]}"


def _other_evidence(pool: PoolVerdict) -> str:
    """Name what else speaks of a card than its record."""
    told = ["how little drafters use it"] if pool.usage_columns else []
    told += ["its games in hand against those in the deck"] if pool.has_unheld else []
    return ", or ".join(told)
