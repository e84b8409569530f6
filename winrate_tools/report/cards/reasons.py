"""The glossary of reasons: what each one tells a reader."""

REASONS: dict[str, str] = {
    "weak": "its record lies below the line by more than luck explains",
    "trap": "weak, yet drafters take it early or play it a lot, so it costs them games",
    "unplayed": "hardly ever played, whatever its win rate",
    "few games": "too few games so far to call it",
    "on the line": "so close to the line that hardly any number of games would part them",
    "hidden company": "what its record owes to its company cannot be told from these counts",
    "newcomer trap": "weak in the hands of weaker players, and not of stronger ones",
    "narrow": "good in one archetype, weak in its others",
    "weak home": "looks weak only because its archetype or faction is",
    "weak hands": "looks weak only because of who plays it",
}


def explain(reason: str) -> str:
    """Say what a reason means; one that the glossary lacks speaks for itself.

    Examples
    --------
    >>> explain("narrow")
    'good in one archetype, weak in its others'
    """
    return REASONS.get(reason, reason)
