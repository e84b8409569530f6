"""What the matches of a table of players can and cannot support."""

from statistics import median

from winrate_tools.matches import MatchTable
from winrate_tools.report import words
from winrate_tools.report.document import Entry


def match_support(table: MatchTable) -> tuple[Entry, ...]:
    """Say what matches can tell of players, archetypes and cards.

    Returns
    -------
    tuple of Entry
        Games, days, archetypes, cards, first seat.
    """
    return (
        Entry("Games", _games(table)),
        Entry("Days", _days(table)),
        Entry("Archetypes", _archetypes(table)),
        Entry("Cards", _cards(table)),
        Entry("First seat", _seats(table)),
    )


def _games(table: MatchTable) -> str:
    games = sum(match.games for match in table.matches)
    matches = words.plural(len(table.matches), "match", "matches")
    players = words.plural(len(table.players), "player")
    said = f"{words.plural(games, 'game')} in {matches} of {players}"
    played = dict.fromkeys(table.players, 0)
    for match in table.matches:
        played[match.player] += match.games
        played[match.opponent] += match.games
    middle = int(median(played.values()))
    if not middle:
        return f"{said}: nothing can be estimated."
    luck = 50 / middle**0.5
    return (
        f"{said}; the middle player has {words.count(middle)}, where luck alone moves a win "
        f"rate by {luck:.0f} points."
    )


def _days(table: MatchTable) -> str:
    days = sorted({match.date for match in table.matches if match.date})
    if not days:
        return "unknown: before and after a change cannot be told apart."
    undated = sum(match.date is None for match in table.matches)
    more = f"; {words.count(undated)} without a date" if undated else ""
    return f"{words.plural(len(days), 'day')}, from {days[0]} to {days[-1]}{more}."


def _archetypes(table: MatchTable) -> str:
    known = sum(
        match.archetype is not None and match.opponent_archetype is not None
        for match in table.matches
    )
    if not known:
        return "unknown: players can be compared, archetypes cannot."
    return f"of both decks in {_share(known, table)}: archetypes can be told from players."


def _cards(table: MatchTable) -> str:
    known = sum(bool(match.cards) for match in table.matches)
    if not known:
        return "not noted: these matches say nothing of single cards."
    return f"noted in {_share(known, table)}: these say a little of single cards."


def _seats(table: MatchTable) -> str:
    known = sum(match.had_first_seat is not None for match in table.matches)
    if not known:
        return "not noted: it is taken to favour nobody."
    return f"noted in {_share(known, table)}."


def _share(known: int, table: MatchTable) -> str:
    total = len(table.matches)
    if known == total:
        return "all matches"
    return f"{words.count(known)} of {words.plural(total, 'match', 'matches')}"
