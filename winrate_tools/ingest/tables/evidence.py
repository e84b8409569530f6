"""What is known of a candidate's strength: a record with its baseline, a guess, or both."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from winrate_tools.ingest.cells.choices import GUESS_WORDS, read_choice
from winrate_tools.ingest.cells.rates import check_inner_rate
from winrate_tools.ingest.checks.check import STEPS as RECORD_STEPS
from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.view import Part, View, read_each
from winrate_tools.ingest.tables.pool_columns import (
    PoolCards,
    read_copies,
    read_price_and_protection,
)
from winrate_tools.pools import GUESSES, Candidate
from winrate_tools.tables import Numbers

GIVE_EVIDENCE = f"give games, wins and baseline, or a guess: {', '.join(GUESSES)}"
GIVE_BASELINE = "say what an average card won where these games were played"


def _guess(view: View, _: dict[str, Numbers]) -> Part:
    if "guess" not in view.where:
        return Part()
    return read_choice(view, "guess", GUESS_WORDS, "weaker, like or stronger")


def _rates(view: View, _: dict[str, Numbers]) -> Part:
    return read_each(view, ("baseline", "spread"), check_inner_rate)


STEPS = (read_copies, read_price_and_protection, *RECORD_STEPS, _guess, _rates)
"""How a list of candidates is read."""


def demand_evidence(columns: Columns) -> Columns:
    """Find the candidates without a record or a guess, and the records without a baseline."""
    wrong = {found.row for found in columns.findings}
    rows = [row for row in columns.rows if row not in wrong]
    findings = [*_without_evidence(columns, rows), *_without_baseline(columns, rows)]
    return replace(columns, findings=(*columns.findings, *findings))


def candidate(columns: Columns, cards: PoolCards, row: int, copies: int) -> Candidate:
    """Make the candidate of a row that has passed every check."""
    guess, spread = (_known(columns, role, row) for role in ("guess", "spread"))
    card = cards.card(row, copies)
    guessed = None if guess is None else GUESSES[int(guess)]
    if not has_record(columns, row):
        return Candidate(card, guess=guessed, spread=spread)
    games, wins = (int(columns.numbers[role][row]) for role in ("games", "wins"))
    return Candidate(card, games, wins, _known(columns, "baseline", row), guessed, spread)


def has_record(columns: Columns, row: int) -> bool:
    """Tell whether games and wins of a row are known and more than none."""
    games, wins = (_known(columns, role, row) for role in ("games", "wins"))
    return bool(games) and wins is not None


def _known(columns: Columns, role: str, row: int) -> float | None:
    value = columns.numbers[role][row] if role in columns.numbers else np.nan
    return None if np.isnan(value) else float(value)


def _without_evidence(columns: Columns, rows: list[int]) -> Iterator[Finding]:
    view = columns.view
    at = "guess" if "guess" in view.where else "games" if "games" in view.where else "card"
    for row in rows:
        if not has_record(columns, row) and _known(columns, "guess", row) is None:
            name = view.card[row]
            message = f"games and wins, or a guess, were wanted for {name!r}, got neither"
            yield view.sheet.grid.finding(row, view.where[at], message, GIVE_EVIDENCE)


def _without_baseline(columns: Columns, rows: list[int]) -> Iterator[Finding]:
    """Report each blank baseline beside a record; once where the whole column is missing."""
    view = columns.view
    bare = [
        row
        for row in rows
        if has_record(columns, row) and _known(columns, "baseline", row) is None
    ]
    if bare and "baseline" not in view.where:
        role = "games" if "games" in view.where else "wins"
        message = f"a column baseline was wanted beside games; {len(bare)} rows need one"
        found = view.finding(bare[0], role, message, GIVE_BASELINE)
        yield replace(found, row=None, fatal=True)
        return
    for row in bare:
        message = "a baseline was wanted beside games, got a blank cell"
        yield view.finding(row, "baseline", message, GIVE_BASELINE)
