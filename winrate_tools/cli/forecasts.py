"""Keep what a plan forecasts in the table's journal, to be held against what is then seen."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from winrate_tools.cli.output import say
from winrate_tools.cli.targets import Target, demand_targets
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
    from winrate_tools.decide.plan.moves import Plan
    from winrate_tools.journal import JournalRow


def day(text: str) -> dt.date:
    """Take a day.

    Examples
    --------
    >>> day("2026-01-31")
    datetime.date(2026, 1, 31)
    """
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        msg = f"must be a day such as 2026-01-31, got {text!r}"
        raise typer.BadParameter(msg) from error


def demand_journal(
    journal: str | None,
    first: dt.date | None,
    written: Sequence[Target],
    read: Sequence[str | None],
) -> None:
    """Refuse a journal that cannot take the forecasts, before any work is done.

    Raises
    ------
    SettingError
        If one of journal and first day of the new pool is given without the other.
    OutputError
        If the journal is a file that is read, or another that is written.
    TableError
        If what is there is no journal.
    """
    if (journal is None) != (first is None):
        msg = "--journal goes with --from, the first day of the new pool, such as 2026-01-31"
        raise SettingError(msg)
    if journal is None:
        return
    demand_targets([*written, Target("--journal", journal)], {"table": read}, force=True)
    from winrate_tools.ingest.tables.journal import read_journal

    read_journal(Path(journal))


def note_forecasts(
    plan: "Plan", archetypes: "ArchetypePool | None", journal: Path, first: dt.date
) -> None:
    """Add a row to the journal for each archetype that the plan was to put right.

    Raises
    ------
    TableError
        If what is there is no journal.
    CountError
        If the first day lies before the journal's last one.
    OutputError
        If it cannot be written.
    """
    from winrate_tools.ingest.tables.journal import append_journal

    rows = forecast_rows(plan, archetypes, first)
    if not rows:
        say(f"note: no archetype was to be put right, so {journal} stays as it is")
        return
    append_journal(journal, rows)
    names = ", ".join(row.archetype for row in rows)
    say(
        f"noted in {journal}: what is forecast of {names}, for an even table (50% the mean), "
        "as the command update sees it"
    )


def forecast_rows(
    plan: "Plan", archetypes: "ArchetypePool | None", first: dt.date
) -> "list[JournalRow]":
    """List a row for each archetype that was underpowered or overpowered."""
    if archetypes is None or not plan.moves:
        return []
    from winrate_tools.decide.home.journal import forecast_row

    off = {
        one.archetype
        for one in archetypes.archetypes
        if one.verdict in {"underpowered", "overpowered"}
    }
    out, come = (sum(abs(move.change) for move in part) for part in (plan.gone, plan.come))
    return [
        forecast_row(
            first,
            f"{out} out, {come} in",
            outcome.archetype,
            forecast=(outcome.after, outcome.after_low, outcome.after_high),
            mean=archetypes.mean,
            sure=plan.sure,
        )
        for outcome in plan.outcomes
        if outcome.archetype in off
    ]
