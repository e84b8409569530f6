"""Which archetypes need help: a table, a sentence for each that does, and how far to trust it.

`archetype_section` is a section for any report; `archetype_report` is a report of its own.
"""

from collections import Counter

from winrate_tools.decide.archetypes.archetype_verdicts import (
    ArchetypePool,
    ArchetypeVerdict,
    Call,
)
from winrate_tools.report import words
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.archetypes.archetype_cautions import cautions
from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
    Tone,
)
from winrate_tools.report.figures import archetypes
from winrate_tools.report.likelihood import likelihood

MARKS: dict[Call, str] = {
    "underpowered": "▼ underpowered",
    "overpowered": "▲ overpowered",
    "balanced": "= balanced",
    "unsettled": "○ unsettled",
}
TONES: dict[Call, Tone] = {
    "underpowered": "cut",
    "overpowered": "keep",
    "balanced": "",
    "unsettled": "more games",
}


def archetype_report(pool: ArchetypePool, name: str) -> Document:
    """Describe the archetypes of a pool."""
    blocks = (*archetype_section(pool).blocks, archetypes.picture(pool))
    return Document(
        f"Archetypes of {name}", (Section("", blocks), how_to_read_archetypes(pool))
    )


def archetype_section(pool: ArchetypePool, *, cards_mean: float | None = None) -> Section:
    """Say which archetypes need help, how sure that is, and which cards drag or carry them.

    Parameters
    ----------
    pool : ArchetypePool
        The judged archetypes.
    cards_mean : float, optional
        Mean that the same report prints of the cards' games, to be told from this one.

    Returns
    -------
    Section
        Counts and lines, a table, a sentence for each archetype that is not balanced, and
        what limits all this.
    """
    blocks: list[Block] = [
        Paragraph(f"{counts_sentence(pool)} {lines_sentence(pool)}{_means(pool, cards_mean)}"),
        archetypes_table(pool),
    ]
    entries = tuple(
        Entry(one.archetype, archetype_sentence(one, pool))
        for one in pool.archetypes
        if one.verdict != "balanced"
    )
    blocks += [Entries(entries)] if entries else []
    blocks += [Paragraph(caution) for caution in cautions(pool)]
    return Section("Archetypes", tuple(blocks))


def archetypes_table(pool: ArchetypePool) -> Table:
    """Lay out the archetypes, the weakest first."""
    has_parts = any(one.cards_part is not None for one in pool.archetypes)
    columns = [
        TableColumn("Archetype"),
        TableColumn("Games", is_number=True, spare=4),
        TableColumn("Win rate", is_number=True, spare=5),
        TableColumn("Estimate", is_number=True, spare=1),
        TableColumn(f"{words.range_name(pool.sure)} range", is_number=True),
        TableColumn("Chance"),
        TableColumn("Verdict", is_toned=True),
        TableColumn("Games needed", is_number=True, spare=3),
    ]
    if has_parts:
        columns += [
            TableColumn("Cards' part", spare=2),
            TableColumn("Own part", spare=2),
        ]
    return Table(
        tuple(columns),
        tuple(_row(one, pool)[: len(columns)] for one in pool.archetypes),
        tuple(TONES[one.verdict] for one in pool.archetypes),
    )


def _row(one: ArchetypeVerdict, pool: ArchetypePool) -> tuple[str, ...]:
    return (
        one.archetype,
        archetype_words.games(one, pool),
        "" if one.win_rate is None else words.percent(one.win_rate),
        archetype_words.estimate(one, pool),
        archetype_words.range_of(one, pool),
        archetype_words.chance(one, pool),
        MARKS[one.verdict],
        archetype_words.games_needed(one),
        archetype_words.part(one.cards_part, one.cards_low, one.cards_high),
        archetype_words.part(one.own_part, one.own_low, one.own_high),
    )


def counts_sentence(pool: ArchetypePool) -> str:
    """Say how many archetypes there are and how they were judged."""
    number = Counter(one.verdict for one in pool.archetypes)
    said = ", ".join(f"{number[verdict]} {verdict}" for verdict in MARKS)
    return f"{words.plural(len(pool.archetypes), 'archetype')}: {said}."


def lines_sentence(pool: ArchetypePool) -> str:
    """Say where the lines are and whom they are meant for."""
    low, high = words.exact_percent(pool.low_line), words.exact_percent(pool.high_line)
    bands = "; all at the same mix of players" if pool.skill_bands else ""
    return (
        f"An archetype is underpowered below {low} and overpowered above {high}: "
        f"{words.points(pool.margin)} from {words.exact_percent(pool.mean)}, the mean of all "
        f"games{bands}."
    )


def _means(pool: ArchetypePool, cards_mean: float | None) -> str:
    """Tell the mean of all decks' games from that of the cards', where the two differ."""
    if cards_mean is None:
        return ""
    decks, cards = (words.exact_percent(mean) for mean in (pool.mean, cards_mean))
    if decks == cards:
        return ""
    return f" The cards' mean of {cards} counts a game once a card, this one once a deck."


def archetype_sentence(one: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Say what the data say about one archetype, without its name.

    Returns
    -------
    str
        Sentences with the chance, the line, the estimate with its range, the games, the split
        and the cards that pull most.
    """
    parts = (_chance(one, pool), _estimate(one, pool), _split(one, pool), _cards(one))
    return " ".join(part for part in (*parts, _settling(one)) if part)


def _chance(one: ArchetypeVerdict, pool: ArchetypePool) -> str:
    if not one.games:
        return "No games yet, so the estimate is only what the other archetypes suggest."
    low, high = words.exact_percent(pool.low_line), words.exact_percent(pool.high_line)
    where = archetype_words.place(one)
    claim = {
        "below": f"wins less than {low}",
        "above": f"wins more than {high}",
        "between": f"lies between {low} and {high}",
    }[where]
    number = archetype_words.twentieths(one, where, pool)
    said = f"{words.of_twenty(number)} ({likelihood(number)}) that it {claim}"
    if one.verdict != "unsettled":
        return f"{said}."
    return f"{said}, and a call takes {words.cut_bar(archetype_words.bar(where, pool))}."


def _estimate(one: ArchetypeVerdict, pool: ArchetypePool) -> str:
    shown = archetype_words.estimate(one, pool)
    name, ends = words.range_name(pool.sure), archetype_words.range_of(one, pool)
    games = archetype_words.games(one, pool)
    about = "about " if pool.counted else ""
    return f"Best estimate {shown} ({name} range: {ends}) from {about}{games} games."


def _split(one: ArchetypeVerdict, pool: ArchetypePool) -> str:
    if one.cards_part is None:
        return ""
    away = archetype_words.signed(one.estimate - pool.mean)
    of_cards = archetype_words.part(one.cards_part, one.cards_low, one.cards_high)
    return f"Against the mean it stands at {away} points: {of_cards} by its cards, we assume."


def _cards(one: ArchetypeVerdict) -> str:
    drags, carries = (
        ", ".join(map(archetype_words.pull, cards)) for cards in (one.drags, one.carries)
    )
    said = [f"that drag it most: {drags}"] if drags else []
    said += [f"that carry it most: {carries}"] if carries else []
    return f"Cards {'; cards '.join(said)}." if said else ""


def _settling(one: ArchetypeVerdict) -> str:
    if one.verdict != "unsettled":
        return ""
    if one.games_needed is None:
        return "More of the same games will not settle it."
    return f"About {words.about(one.games_needed)} more games would very likely settle it."


def how_to_read_archetypes(pool: ArchetypePool) -> Section:
    """Explain the words of the archetypes' table, for readers who see it alone."""
    between = words.cut_bar(pool.balanced)
    entries = (
        Entry(
            "17 in 20",
            "take 20 archetypes with evidence like this one's, and about 17 of them truly lie "
            "where it says.",
        ),
        Entry(
            "Verdict",
            f"underpowered and overpowered take {words.cut_bar(pool.sure)}; balanced takes "
            f"{between} between the lines; everything else is unsettled.",
        ),
        Entry(
            "Cards' part, own part",
            "points that the cards add against the average archetype's cards, and what is left "
            f"for plan and synergy, each with its {words.range_name(pool.sure)} range. What "
            "all cards of a faction share cannot be told from what their archetypes have; the "
            "split rests on the assumptions behind the cards' own effects.",
        ),
        Entry(
            "Cards that drag or carry",
            "of the cards that the archetype has more of than others have: points added to "
            f"it, with their {words.range_name(pool.sure)} range, which reaches past 0 where "
            "the card may as well be an average one.",
        ),
        Entry("Games needed", _games_needed(pool)),
    )
    return Section("How to read this", (Entries(entries),))


def _games_needed(pool: ArchetypePool) -> str:
    said = (
        "after as many further games of the archetype, the others going on beside it, the "
        "chance that its verdict is settled is 16 in 20."
    )
    if all(one.verdict != "unsettled" or one.games_needed for one in pool.archetypes):
        return said
    return (
        f'{said} "Won\'t help": no number of games would do so, since it lies too near a '
        "line or since what is unsure about it is not luck."
    )
