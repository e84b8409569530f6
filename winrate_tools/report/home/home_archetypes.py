"""A table's archetypes in words: strangers' numbers, its own, and what both come to."""

from winrate_tools.decide.home.home_verdicts import HomeArchetype, HomeUpdate
from winrate_tools.report import words
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.archetypes.archetype_section import MARKS, TONES
from winrate_tools.report.document import (
    Block,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.report.home import home_words
from winrate_tools.report.home.home_changes import AGREEMENTS, NEVER

STRANGERS = (
    TableColumn("Strangers", is_number=True, spare=2),
    TableColumn("Their verdict", spare=2),
)


def archetypes_section(update: HomeUpdate) -> Section:
    """Lay out the archetypes, the weakest first, and say what moved.

    Returns
    -------
    Section
        Without blocks where nobody names archetypes.
    """
    if not update.archetypes:
        return Section("Archetypes", ())
    columns = (
        TableColumn("Archetype"),
        TableColumn("Won here", is_number=True, spare=3),
        TableColumn("Expected", is_number=True, spare=4),
        *(STRANGERS if home_words.is_foretold(update) else ()),
        TableColumn("Here", is_number=True),
        TableColumn(f"{words.range_name(update.sure)} range"),
        TableColumn("Chance", spare=1),
        TableColumn("Verdict here", is_toned=True),
        TableColumn("Home's say", is_number=True, spare=5),
        TableColumn("Needs", is_number=True, spare=2),
    )
    rows = tuple(_row(one, update) for one in update.archetypes)
    tones = tuple(TONES[one.verdict] for one in update.archetypes)
    entries = tuple(
        Entry(one.archetype, moved)
        for one in update.archetypes
        if (moved := _moved(one, update))
    )
    blocks: list[Block] = [Paragraph(_lines(update)), Table(columns, rows, tones)]
    return Section("Archetypes", (*blocks, *([Entries(entries)] if entries else [])))


def _lines(update: HomeUpdate) -> str:
    low, high = words.exact_percent(update.low_line), words.exact_percent(update.high_line)
    told = [
        one for one in update.archetypes if one.strangers_verdict not in {None, "unsettled"}
    ]
    opened = [one for one in told if one.start_verdict != one.strangers_verdict]
    turned = [one for one in update.archetypes if one.verdict != one.start_verdict]
    lines = (
        f"At this table an archetype is underpowered below {low} and overpowered above {high}. "
        "In Won here, every game counts for both of its decks."
    )
    settled = f"the games of this table settle {len(turned)}."
    if not home_words.is_foretold(update):
        return (
            f"{lines} Nothing is known of strangers' games with these archetypes, so all are "
            f"taken for alike beforehand; {settled}"
        )
    if not told:
        return f"{lines} Strangers' games settle none; {settled}"
    all_told = words.plural(len(update.archetypes), "archetype")
    return (
        f"{lines} Strangers' games settle {len(told)} of {all_told}. Their numbers are taken "
        f"to hold here give or take {words.points(update.doubt, 1)}, and now and then to be "
        f"far off. That, and what was changed, leaves {len(told) - len(opened)} of their "
        "verdicts as before; the games of this table then turn "
        f"{words.plural(len(turned), 'verdict')}."
    )


def _row(one: HomeArchetype, update: HomeUpdate) -> tuple[str, ...]:
    return (
        f"{one.archetype}{' (changed)' if one.is_changed else ''}",
        home_words.won(one.wins, one.games),
        words.plain(one.expected, 1) if one.games else "",
        *(_strangers(one) if home_words.is_foretold(update) else ()),
        archetype_words.estimate(one, update),
        home_words.range_of(one, update),
        archetype_words.likeliest(one, update),
        MARKS[one.verdict],
        home_words.share_of_say(one.weight),
        home_words.needed(one),
    )


def _strangers(one: HomeArchetype) -> tuple[str, str]:
    met = "never met" if one.strangers is None else words.percent(one.strangers)
    return met, one.strangers_verdict or ""


def _moved(one: HomeArchetype, update: HomeUpdate) -> str:
    """Say what moved an archetype, where more than luck did or its games turned its verdict."""
    is_turned = one.verdict != one.start_verdict
    if one.agreement not in {"better", "worse"} and not is_turned and one.never != "one hand":
        return ""
    turned = f"Home games made it {one.verdict}." if is_turned else ""
    games = (
        f"won {home_words.won(one.wins, one.games)} games where {words.plain(one.expected, 1)} "
        f"were to be expected, {AGREEMENTS[one.agreement]}; with the other games that moved "
        f"it from {_start(one)} to {words.percent(one.estimate)}."
        if one.games
        else ""
    )
    never = NEVER["one hand"](update) if one.never == "one hand" else ""
    return " ".join(part for part in (games, turned, never) if part)


def _start(one: HomeArchetype) -> str:
    """Print what was believed before the games, and why that is not what strangers say."""
    start = words.percent(one.start)
    if one.strangers is None or (strangers := words.percent(one.strangers)) == start:
        return start
    return f"{start} (strangers' {strangers} with the changes counted in)"
