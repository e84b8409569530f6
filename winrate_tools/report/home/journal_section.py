"""Forecasts of a journal held against what was then seen."""

from collections.abc import Sequence

from winrate_tools.decide.home.journal import Outcome, Review
from winrate_tools.report import words
from winrate_tools.report.document import Paragraph, Section, Table, TableColumn
from winrate_tools.report.home import home_words

OUTCOMES: dict[Outcome, str] = {
    "nothing seen": "no games yet",
    "no forecast": "no forecast",
    "as forecast": "as forecast",
    "better": "better than forecast",
    "worse": "worse than forecast",
    "cannot tell apart": "cannot tell apart",
}


def journal_section(reviews: Sequence[Review]) -> Section:
    """Lay out what was forecast and what was then seen.

    Returns
    -------
    Section
        Without blocks for an empty journal.
    """
    columns = (
        TableColumn("Change"),
        TableColumn("Since"),
        TableColumn("Archetype"),
        TableColumn("Forecast", is_number=True),
        TableColumn("To be expected"),
        TableColumn("Seen", is_number=True),
        TableColumn("Range"),
        TableColumn("Games", is_number=True),
        TableColumn("Outcome"),
    )
    rows = tuple(
        (
            review.row.change,
            str(review.row.date),
            review.row.archetype,
            "" if review.row.forecast is None else words.percent(review.row.forecast),
            _ends(review.low, review.high),
            "" if review.row.seen is None else words.percent(review.row.seen),
            _ends(review.row.seen_low, review.row.seen_high),
            "" if review.row.games is None else words.count(review.row.games),
            OUTCOMES[review.outcome],
        )
        for review in reviews
    )
    told = Paragraph(
        "What home games alone say of each change, against its forecast, both at an even table "
        "where 50% is the mean of all games; a plan prints its forecast from the mean of "
        "strangers' games. If a forecast is right, 8 in 10 of such results lie where they were "
        "to be expected."
    )
    unclear = [
        Paragraph(
            "Cannot tell apart: the range of what was seen holds both the forecast and what "
            "strangers' games say of the archetype as it was, so that the change may have done "
            "what was forecast, or nothing."
        )
    ] * any(review.outcome == "cannot tell apart" for review in reviews)
    return Section("Forecast and seen", (told, Table(columns, rows), *unclear) if rows else ())


def _ends(low: float | None, high: float | None) -> str:
    return "" if low is None or high is None else home_words.spread(low, high)
