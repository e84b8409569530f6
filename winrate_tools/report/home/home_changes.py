"""Whether a change has worked, in words, and when the table will know."""

from collections.abc import Callable

from winrate_tools.decide.home.home_verdicts import (
    Agreement,
    ChangeOutlook,
    HomeArchetype,
    HomeUpdate,
    Never,
)
from winrate_tools.report import words
from winrate_tools.report.archetypes import archetype_words
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

ANSWERS = {
    "yes": "Yes, as far as can be told.",
    "no, too weak": "No: it is still too weak.",
    "no, too strong": "No: it is too strong now.",
    "cannot tell yet": "Cannot tell yet.",
}
AGREEMENTS: dict[Agreement, str] = {
    "no games": "",
    "as expected": "within the usual luck",
    "better": "better than the usual luck explains",
    "worse": "worse than the usual luck explains",
}
NEVER: dict[Never, Callable[[HomeUpdate], str]] = {
    "nobody plays it": lambda _: "Never, as things go: nobody here plays it.",
    "one hand": lambda _: (
        "Never, as things go: only one player holds it, so its strength cannot be told from "
        "that player's; let others hold it."
    ),
    "too slow": lambda update: (
        f"Never at this table, in effect: {further(update.longest, update)} would not answer "
        "it with a chance of 16 in 20."
    ),
}


def changes_section(update: HomeUpdate) -> Section:
    """Say of every change whether it has worked, how sure that is, and when that will be known.

    Returns
    -------
    Section
        Without blocks where nothing was changed.
    """
    blocks: list[Block] = []
    for change in update.changes:
        blocks.append(Entries((Entry(change.archetype.archetype, sentence(change, update)),)))
        if change.ahead:
            blocks += [Paragraph(_ahead_sentence(change, update)), _ahead_table(change)]
    if update.changes:
        blocks.append(Paragraph(stopping_sentence()))
    return Section("Has the change worked?", tuple(blocks))


def sentence(change: ChangeOutlook, update: HomeUpdate) -> str:
    """Say whether one change has worked, without its name."""
    one = change.archetype
    since = f" since {change.date}" if change.date else ""
    parts = (
        ANSWERS[change.answer],
        _chances(one, update),
        f"It won {home_words.won(one.wins, one.games)} games{since}{_mirrors(one)}"
        f"{_expected(one)}."
        if one.games
        else f"It has not been played{since}, so this is only what was believed before.",
        f"Best estimate {archetype_words.estimate(one, update)} "
        f"({words.range_name(update.sure)} range: {home_words.range_of(one, update)}).",
        _direction(change),
    )
    return " ".join(part for part in parts if part)


def _chances(one: HomeArchetype, update: HomeUpdate) -> str:
    below, between, above = (
        words.of_twenty(archetype_words.twentieths(one, where, update))
        for where in archetype_words.PLACES
    )
    return (
        f"{between} that it lies within {words.points(update.margin)} of an even share now, "
        f"{below} that it lies below, {above} above; a yes takes "
        f"{words.cut_bar(update.balanced)} within, a no {words.cut_bar(update.sure)} outside."
    )


def _mirrors(one: HomeArchetype) -> str:
    if not one.mirrors:
        return ""
    count = "counts" if one.mirrors == 1 else "count"
    return f" ({words.plural(one.mirrors, 'game')} against itself {count} for both sides)"


def _expected(one: HomeArchetype) -> str:
    what = "the start" if one.strangers is None else "the numbers of strangers"
    return (
        f", where {what} and who played it led to expect {words.plain(one.expected, 1)}: "
        f"{AGREEMENTS[one.agreement]}"
    )


def _direction(change: ChangeOutlook) -> str:
    if change.chance_up is None:
        return ""
    meant = ", as meant" if change.aim else ""
    chance = 1 - change.chance_up if change.aim == "down" else change.chance_up
    return f"{words.in_twenty(chance)} that it got {_grown(change)}{meant}."


def _grown(change: ChangeOutlook) -> str:
    """Name what the change was to make of its archetype."""
    return "weaker" if change.aim == "down" else "stronger"


def further(games: int, update: HomeUpdate) -> str:
    """Print further games of the table, in nights where nights are known."""
    if update.nights is None:
        return f"{words.about(games)} more games like these"
    nights = round(games * update.nights / update.games)
    return f"{words.plural(max(nights, 1), 'more night')} like these"


def _ahead_sentence(change: ChangeOutlook, update: HomeUpdate) -> str:
    one = change.archetype
    if one.never is not None:
        when = NEVER[one.never](update)
    else:
        when = f"Very likely after {home_words.needed(one)} more like these."
    if change.wider is not None:
        when += (
            f" Asked whether it lies within {words.points(change.wider)} instead, "
            f"{further(change.soon, update)} would very likely tell."
        )
    if change.chance_up is not None and change.ahead[0].chance_direction is None:
        when += " Whether it got stronger or weaker can be told now; more games may turn that."
    return f"When will this table know? {when}"


def _ahead_table(change: ChangeOutlook) -> Table:
    """Lay out what further nights are worth; games stand first where nights are unknown."""
    ahead, grown = change.ahead, _grown(change)
    columns: dict[str, list[str | None]] = {
        "Further nights": [None if each.nights is None else f"{each.nights}" for each in ahead],
        "Further games": [words.about(each.games) for each in ahead],
        "Chance of an answer": [words.in_twenty(each.chance_answer) for each in ahead],
        f"Chance to know whether it got {grown}": [
            None if each.chance_direction is None else words.in_twenty(each.chance_direction)
            for each in ahead
        ],
    }
    told = {
        heading: [cell for cell in cells if cell is not None]
        for heading, cells in columns.items()
        if None not in cells
    }
    return Table(
        tuple(TableColumn(heading) for heading in told), tuple(zip(*told.values(), strict=True))
    )


def stopping_sentence() -> str:
    """Say what looking after every night does to these chances, and what it does not do."""
    return (
        "You may look after every night and stop when you like: a chance of 18 in 20 means "
        "the same whenever it is read, as long as the beliefs it started from are fair. It "
        "does not mean that the answer will stay: of the answers given at 18 in 20, about 2 "
        "in 20 are wrong, and more games may turn any of them."
    )
