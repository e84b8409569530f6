"""A table's own games in words: players, archetypes, cards, and forecasts held to account."""

from collections.abc import Callable, Sequence

from winrate_tools.decide.home.home_verdicts import HomeUpdate
from winrate_tools.decide.home.journal import Review
from winrate_tools.report import words
from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.report.home import home_words
from winrate_tools.report.home.home_archetypes import archetypes_section
from winrate_tools.report.home.home_cards import cards_section
from winrate_tools.report.home.home_changes import changes_section, further
from winrate_tools.report.home.journal_section import journal_section

LISTED = 10
"""Unknown cards named."""
CAUTIONS: dict[str, Callable[[HomeUpdate], str]] = {
    "few games": lambda update: (
        f"{words.plural(update.games, 'game')} can hardly move anything yet."
    ),
    "no archetypes": lambda _: (
        "The matches name no archetypes, or only one, so they tell of players and listed cards."
    ),
    "no dates": lambda _: (
        "The matches have no dates, so waiting times are in games of the whole table."
    ),
    "no seats": lambda _: (
        "Nobody noted who had the first seat; if that is worth something, it is taken for luck."
    ),
    "unknown cards": lambda update: (
        f"{words.plural(len(update.unknown_cards), 'card')} of the matches that strangers "
        f"never played, or that are spelt otherwise, are left out: "
        f"{', '.join(update.unknown_cards[:LISTED])}"
        f"{', ...' if len(update.unknown_cards) > LISTED else ''}."
    ),
    "never met": lambda _: (
        "Some players never met the others, not even by way of third ones; between such "
        "groups strengths are hardly comparable."
    ),
}
PLAYERS_PART = " That part is taken out of what archetypes and cards are said to do."


def home_report(update: HomeUpdate, name: str, journal: Sequence[Review] = ()) -> Document:
    """Describe what a table's own games say."""
    sections = (
        Section("", (Paragraph(summary(update)), *map(Paragraph, cautions(update)))),
        changes_section(update),
        journal_section(journal),
        players_section(update),
        archetypes_section(update),
        cards_section(update),
        how_to_read(update),
    )
    return Document(
        f"What {name} says", tuple(section for section in sections if section.blocks)
    )


def summary(update: HomeUpdate) -> str:
    """Say how many games there are, and on which scale rates are printed."""
    nights = "" if update.nights is None else f" on {words.plural(update.nights, 'night')}"
    days = f" ({update.first} to {update.last})" if update.nights else ""
    return (
        f"{words.plural(update.matches, 'match', 'matches')}, "
        f"{words.plural(update.games, 'game')}{nights}{days} between "
        f"{words.plural(len(update.players), 'player')}. Rates of players and archetypes are "
        "for an even table: both players as good, and 50% the mean of all games."
    )


def cautions(update: HomeUpdate) -> tuple[str, ...]:
    """Say what limits all this, one sentence each."""
    return tuple(CAUTIONS[warning](update) for warning in update.warnings)


def players_section(update: HomeUpdate) -> Section:
    """Lay out the players, and what the first seat is worth."""
    columns = (
        TableColumn("Player"),
        TableColumn("Won", is_number=True),
        TableColumn("Against an average one", is_number=True),
        TableColumn(f"{words.range_name(update.sure)} range"),
    )
    rows = tuple(
        (
            one.player,
            home_words.won(one.wins, one.games),
            words.percent(one.estimate),
            home_words.spread(one.low, one.high),
        )
        for one in update.players
    )
    return Section("Players", (Table(columns, rows), *_seat(update)))


def _seat(update: HomeUpdate) -> tuple[Block, ...]:
    if update.seat is None or update.seat_low is None or update.seat_high is None:
        return ()
    text = (
        f"Between equals the first seat wins {words.percent(update.seat)} "
        f"({words.range_name(update.sure)} range: "
        f"{home_words.spread(update.seat_low, update.seat_high)})."
    )
    return (Paragraph(text),)


def how_to_read(update: HomeUpdate) -> Section:
    """Explain the words of this report, and no others."""
    entries = (
        *_of_strangers(update),
        *(_of_archetypes(update) if update.archetypes else ()),
        Entry(
            "Players",
            "whoever wins more with the same decks against the same people is the stronger "
            f"one.{PLAYERS_PART if update.archetypes or update.cards else ''}",
        ),
        Entry(
            "Draws and runs",
            "a drawn game is half a win each way; games with one deck resemble each other, so "
            f"{words.plain(update.design_effect)} of them count as one.",
        ),
    )
    return Section("How to read this", (Entries(entries),))


def _of_strangers(update: HomeUpdate) -> tuple[Entry, ...]:
    if home_words.is_foretold(update):
        said = (
            "what strangers' games say, moved from the mean of their games to an even table's "
            "50%; reports on their games print it unmoved."
        )
    elif update.cards:
        said = "what strangers' games say of the card, as reports on their games print it."
    else:
        return ()
    return (Entry("Strangers", said),)


def _of_archetypes(update: HomeUpdate) -> tuple[Entry, ...]:
    held = (
        "strangers' numbers held here"
        if home_words.is_foretold(update)
        else "all archetypes were as strong"
    )
    return (
        Entry(
            "Expected",
            f"games that decks of the archetype should have won if {held}, given who played "
            "them against whom.",
        ),
        Entry(
            "Home's say",
            "how much of the estimate is the table's own games; the rest is what was believed "
            "before them.",
        ),
        Entry(
            "Needs",
            "how long until the verdict is settled with a chance of 16 in 20, if the same "
            "people go on meeting as often with the archetypes they like; too long, if "
            f"{further(update.longest, update)} would not do.",
        ),
    )
