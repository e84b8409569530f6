"""Columns of a table of matches, and the matches they make."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.choices import YES_NO, read_choice
from winrate_tools.ingest.cells.counts import read_count
from winrate_tools.ingest.cells.dates import DATE_ROLES, order_notes, read_dates
from winrate_tools.ingest.cells.lists import ListColumn, read_lists
from winrate_tools.ingest.cells.names import NO_LABEL, one_spelling, read_names, respelt
from winrate_tools.ingest.cells.scores import read_scores
from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.findings import Finding, first_few
from winrate_tools.ingest.roles.view import (
    MEND_OR_SKIP,
    Part,
    View,
    read_each,
    rows_where,
    word,
)
from winrate_tools.matches import Match
from winrate_tools.tables import Labels, Numbers

WRITE_GAMES = "write how many games of the match it was; or leave the line out with --skip-bad"


def _games(view: View, _: dict[str, Numbers]) -> Part:
    part = read_each(view, ("games_won", "games_lost", "draws"), read_count)
    if "score" in view.where:
        part = part.then(read_scores(view, part.numbers))
    return part


def _known_games(view: View, numbers: dict[str, Numbers]) -> Part:
    """Demand games won and lost of every row that nothing else is wrong with."""
    findings = []
    for role in ("games_won", "games_lost"):
        at = role if role in view.where else "score"
        wanted = f"{word(role)} were" if at == role else "a score such as 2-1 was"
        message = f"{wanted} wanted, got a blank cell"
        findings += [
            view.finding(row, at, message, WRITE_GAMES)
            for row in rows_where(np.isnan(numbers[role]))
            if view.cell(row, at) in NO_LABEL
        ]
    return Part(findings=tuple(findings))


def _draws(view: View, numbers: dict[str, Numbers]) -> Part:
    if "draws" not in numbers:
        return Part()
    blank = [
        view.line_of(row)
        for row in rows_where(np.isnan(numbers["draws"]))
        if "draws" in view.where and view.cell(row, "draws") in NO_LABEL
    ]
    notes = (f"draws are blank, none were taken: {first_few(blank)}",) if blank else ()
    return Part({"draws": np.nan_to_num(numbers["draws"])}, notes=notes)


def _dates(view: View, _: dict[str, Numbers]) -> Part:
    told = [role for role in reversed(DATE_ROLES) if role in view.where]
    if not told:
        return Part()
    part = read_dates(view, told[0])
    return part.then(Part(notes=tuple(order_notes(view, part.numbers["date"]))))


def _first_seat(view: View, _: dict[str, Numbers]) -> Part:
    if "first_seat" not in view.where:
        return Part()
    return read_choice(view, "first_seat", YES_NO, "yes or no")


STEPS = (_games, _known_games, _draws, _dates, _first_seat)
"""How a table of matches is read."""


@dataclass(frozen=True, slots=True)
class MatchColumns:
    """Checked columns of a table of matches, ready to be made into matches.

    Attributes
    ----------
    columns : Columns
        What was read, with everything wrong with it.
    player, opponent : tuple of str
        Names, in one spelling each; "" for a blank one.
    archetype, opponent_archetype : tuple of (str or None)
        Likewise.
    cards : ListColumn
        Cards of the player's deck.
    notes : tuple of str
        What was respelt.
    """

    columns: Columns
    player: tuple[str, ...]
    opponent: tuple[str, ...]
    archetype: Labels
    opponent_archetype: Labels
    cards: ListColumn
    notes: tuple[str, ...]

    @classmethod
    def of(cls, columns: Columns) -> "MatchColumns":
        """Read the names of opponents, too, and make spellings agree between both sides."""
        view = columns.view
        met = read_names(view.sheet.grid, view.where["opponent"], "opponent")
        player, opponent, said = _alike("opponent", view.card, met.labels)
        unknown: Labels = (None,) * len(view.card)
        first, second = (
            columns.labels.get(role, unknown) for role in ("archetype", "opponent_archetype")
        )
        archetype, opponent_archetype, also = _alike("opponent archetype", first, second)
        cards = read_lists(view, "cards")
        findings = (*columns.findings, *met.findings, *_alone(view, player, opponent))
        return cls(
            replace(columns, findings=findings),
            tuple(name or "" for name in player),
            tuple(name or "" for name in opponent),
            archetype,
            opponent_archetype,
            cards,
            (*met.notes, *said, *also, *cards.notes),
        )

    def match(self, row: int) -> Match:
        """Make the match of a row."""
        numbers = self.columns.numbers
        seat = numbers["first_seat"][row] if "first_seat" in numbers else np.nan
        return Match(
            self.player[row],
            self.opponent[row],
            int(numbers["games_won"][row]),
            int(numbers["games_lost"][row]),
            draws=int(numbers["draws"][row]) if "draws" in numbers else 0,
            archetype=self.archetype[row],
            opponent_archetype=self.opponent_archetype[row],
            date=self.date(row),
            cards=self.cards.lists[row],
            had_first_seat=None if np.isnan(seat) else bool(seat),
        )

    def date(self, row: int) -> dt.date | None:
        """Return the day of a row, None where it is unknown."""
        dates = self.columns.numbers.get("date")
        if dates is None or np.isnan(dates[row]):
            return None
        return dt.date.fromordinal(int(dates[row]))


def _alike(
    role: str, first: Sequence[str | None], second: Sequence[str | None]
) -> tuple[Labels, Labels, list[str]]:
    """Give the names of two columns one spelling each, the one that comes first in the file."""
    pairs = zip(first, second, strict=True)
    spelling = one_spelling([name for pair in pairs for name in pair])
    one, other = (
        tuple(spelling[name] if name else name for name in names) for names in (first, second)
    )
    return one, other, [*respelt(role, spelling)]


def _alone(
    view: View, player: Sequence[str | None], opponent: Sequence[str | None]
) -> Iterator[Finding]:
    for row, (name, other) in enumerate(zip(player, opponent, strict=True)):
        if name and other and folded(name) == folded(other):
            message = f"another player than {name!r} was wanted as the opponent, got the same"
            yield view.sheet.grid.finding(row, view.where["opponent"], message, MEND_OR_SKIP)
