"""One match told from both sides: counted once where both agree, refused where they do not."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from winrate_tools.ingest.checks.findings import Finding, first_few
from winrate_tools.ingest.checks.near_misses import likest
from winrate_tools.ingest.tables.match_columns import MatchColumns
from winrate_tools.matches import Match

FEW = 0.5
"""Share of the rows below which those with a mirror are taken for rematches."""
MEND_ONE = (
    "mend one of the two lines; or, if these were two matches, name the same player first in "
    "both"
)


@dataclass(frozen=True, slots=True)
class Sides:
    """Rows that tell of the same match.

    Attributes
    ----------
    retold : dict of int to int
        Row that retells a match to the first row that told it.
    findings : tuple of Finding
        Rows that contradict each other.
    notes : tuple of str
        What was counted once, or might have been.
    """

    retold: dict[int, int] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()


def find_sides(told: MatchColumns) -> Sides:
    """Find the matches that both players told.

    On one day, a row of A against B and one of B against A tell of the same match: counted
    once if they agree, refused if not; with other decks they were two matches, and so they
    were where few rows of the file have such a mirror. Rows without a date are taken so only
    if every one of them has its other side.
    """
    wrong = {found.row for found in told.columns.findings}
    matches = {row: told.match(row) for row in told.columns.rows if row not in wrong}
    dated = {row: match for row, match in matches.items() if match.date}
    undated = {row: match for row, match in matches.items() if not match.date}
    retold, unlike, two = _mirrors(dated)
    rematches: dict[int, int] = {}
    if 2 * len(retold | unlike) < FEW * len(dated):
        retold, unlike, rematches = {}, {}, retold | unlike
    guessed = {
        row: first
        for ahead, back in _meetings(undated)
        for row, first in _pairs(ahead, back, matches).items()
    }
    sure = 2 * len(guessed) == len(undated)
    if sure:
        retold |= guessed
    open_ones = {} if sure else guessed
    notes = (*_notes(told, retold, open_ones, two), *_rematch_notes(told, rematches))
    findings = [_contradiction(told, first, row) for row, first in unlike.items()]
    return Sides(retold, tuple(findings), notes)


def _mirrors(
    matches: dict[int, Match],
) -> tuple[dict[int, int], dict[int, int], dict[int, int]]:
    """Map rows to those of the other side: that agree, that do not, and with other decks."""
    retold: dict[int, int] = {}
    unlike: dict[int, int] = {}
    two: dict[int, int] = {}
    for ahead, back in _meetings(matches):
        pairs = _pairs(ahead, back, matches)
        retold |= pairs
        for first, row in _unlike(ahead, back, pairs, matches):
            other = two if has_other_decks(matches[first], matches[row]) else unlike
            other[row] = first
    return retold, unlike, two


def _meetings(matches: dict[int, Match]) -> Iterator[tuple[list[int], list[int]]]:
    """Split each pair's rows of a day by who is named first, as in their first row or not."""
    groups: dict[object, list[int]] = defaultdict(list)
    for row, match in matches.items():
        groups[match.date, frozenset((match.player, match.opponent))].append(row)
    for rows in groups.values():
        leader = matches[rows[0]].player
        ahead = [row for row in rows if matches[row].player == leader]
        yield ahead, [row for row in rows if row not in set(ahead)]


def _pairs(
    ahead: Sequence[int], back: Sequence[int], matches: dict[int, Match]
) -> dict[int, int]:
    """Map each row that agrees with one told from the other side, the later to the earlier."""
    free = list(ahead)
    pairs: dict[int, int] = {}
    for row in back:
        first = next((one for one in free if matches[one].agrees(matches[row])), None)
        if first is not None:
            free.remove(first)
            pairs[max(row, first)] = min(row, first)
    return pairs


def _unlike(
    ahead: Sequence[int],
    back: Sequence[int],
    pairs: dict[int, int],
    matches: dict[int, Match],
) -> list[tuple[int, int]]:
    """Pair the rows that nothing agrees with, those of the same decks first."""
    paired = {*pairs, *pairs.values()}
    free, rest = ([row for row in rows if row not in paired] for rows in (ahead, back))
    unlike: list[tuple[int, int]] = []
    for row in list(rest):
        same = [one for one in free if not has_other_decks(matches[one], matches[row])]
        if same:
            unlike.append((same[0], row))
            free.remove(same[0])
            rest.remove(row)
    return [*unlike, *zip(free, rest, strict=False)]


def has_other_decks(one: Match, told: Match) -> bool:
    """Tell whether two players' rows name other decks, so that they were two matches.

    Both decks have to differ by more than a slip of the pen, or one of them and the games.

    Examples
    --------
    >>> ada = Match("Ada", "Bo", 2, 1, archetype="Kites")
    >>> has_other_decks(ada, Match("Bo", "Ada", 0, 2, opponent_archetype="Moths"))
    True
    >>> has_other_decks(ada, Match("Bo", "Ada", 1, 2, opponent_archetype="Moths"))
    False
    """
    other = told.seen_by_opponent()
    decks = (
        (one.archetype, other.archetype),
        (one.opponent_archetype, other.opponent_archetype),
    )
    differ = sum(
        bool(first and second and first != second and likest(first, [second]) is None)
        for first, second in decks
    )
    return differ == len(decks) or (differ > 0 and other.score != one.score)


def _contradiction(told: MatchColumns, first: int, row: int) -> Finding:
    view = told.columns.view
    one, other = told.match(first), told.match(row)
    what = f"{_outcome(one)} on {view.line_of(first)}, {_outcome(other)} here"
    if other.seen_by_opponent().score == one.score:
        what = f"the games agree with {view.line_of(first)}, decks or first seats do not"
    message = (
        f"{one.player} and {one.opponent} tell their match of {one.date} differently: {what}"
    )
    at = view.where.get("games_won") or view.where["score"]
    return view.sheet.grid.finding(row, at, message, MEND_ONE)


def _outcome(match: Match) -> str:
    """Say who won a match.

    Examples
    --------
    >>> _outcome(Match("Ada", "Bo", 0, 2)), _outcome(Match("Ada", "Bo", 1, 1, draws=1))
    ('Bo won 2-0', 'nobody won, 1-1-1')
    """
    if match.games_won == match.games_lost:
        return f"nobody won, {match.score}"
    winner = match if match.games_won > match.games_lost else match.seen_by_opponent()
    return f"{winner.player} won {winner.score}"


def _rematch_notes(told: MatchColumns, rematches: dict[int, int]) -> Iterator[str]:
    if rematches:
        yield (
            "few rows have one of the same day with the players the other way round, so these "
            f"were counted as two matches each: {_lines(told, rematches)}; where both players "
            "told one match, delete one of the two lines"
        )


def _lines(told: MatchColumns, pairs: dict[int, int]) -> str:
    line_of = told.columns.view.line_of
    return first_few([f"{line_of(first)} and {line_of(row)}" for row, first in pairs.items()])


def _notes(
    told: MatchColumns,
    retold: dict[int, int],
    open_ones: dict[int, int],
    two: dict[int, int],
) -> Iterator[str]:
    view = told.columns.view
    if retold:
        lines = first_few([view.line_of(row) for row in sorted(retold)])
        yield (
            f"matches that both players told were counted once: {lines} left out; if these "
            "were two matches, name the same player first in both lines"
        )
    if open_ones:
        row, first = next(iter(sorted(open_ones.items())))
        yield (
            f"{view.line_of(row)} mirrors {view.line_of(first)}: both were counted, as no date "
            "tells whether they are one match"
        )
    if two:
        yield (
            "rows of both players on one day that name other decks count as two matches: "
            f"{_lines(told, two)}"
        )
