"""From a judged pool to a document: what the cut report says, section by section."""

from collections.abc import Mapping, Sequence

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.cards.card_tables import cards_table
from winrate_tools.report.cards.card_words import chance_below, estimate
from winrate_tools.report.cards.company_sections import dependent, misjudged
from winrate_tools.report.cards.flips import flips
from winrate_tools.report.cards.method import how_it_was_worked_out, how_to_read
from winrate_tools.report.cards.prospects import prospects
from winrate_tools.report.cards.reasons import why
from winrate_tools.report.cards.sentences import (
    counts_sentence,
    expected_wrong,
    face_value_sentence,
    line_sentence,
    verdict_sentence,
)
from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
)
from winrate_tools.tables import Source

LONGEST = 20
"""Rows shown of a long table; cuts and traps are never left out."""

STARTING_POINT = (
    "Fewer than 30 cards have games, so what is said of them is mostly the starting point, "
    "taken from other pools."
)

UNPLAYED = (
    "Cards that hardly anybody plays, the least used first. They take up places in packs "
    "whatever their win rate, so they are candidates too, unless a deck that wants them is "
    "missing."
)
UNPLAYED_BY_GAMES = (
    "Cards with less than a quarter of the usual games, the fewest first: unplayed by their "
    "games here, which is all that the table tells of use. A card that joined the pool lately "
    "looks the same. A column of mean picks, or of copies drafted and played, would tell."
)
NONE_BY_GAMES = (
    "By games alone, every card finds players. A column of mean picks, or of copies drafted "
    "and played, would tell more."
)

NO_TRAPS = "No card is both weak and sought after, as far as this table tells."
NO_TRAPS_BY_GAMES = (
    "By games alone, which are all that tells of use here, no card is both weak and sought "
    "after. A column of mean picks, or of copies drafted and played, would tell more."
)
NO_TRAPS_TOLD = (
    "Nothing here tells which cards are sought after, so nothing can be said of traps, cards "
    "that are weak all the same."
)


def cut_report(
    pool: PoolVerdict, source: Source, *, origins: Mapping[str, str], version: str
) -> Document:
    """Describe a pool for the people who own it.

    Returns
    -------
    Document
        Summary, cuts, traps, cards that only look weak, unplayed cards, archetypes, the list
        for those who must cut now, what cannot be said yet, how to read it, how it was worked
        out; pictures beside what they show.
    """
    from winrate_tools.report.archetypes.archetype_section import archetype_section
    from winrate_tools.report.figures.placing import illustrated

    mean, decks = pool.sample_mean, pool.archetypes
    homes = () if decks is None else (archetype_section(decks, cards_mean=mean),)
    sections = (
        _summary(pool),
        _cuts(pool),
        _traps(pool),
        misjudged(pool),
        *dependent(pool),
        _unplayed(pool),
        *homes,
        _shortlist(pool),
        _open(pool),
        how_to_read(pool),
        how_it_was_worked_out(pool, source, origins, version),
    )
    return Document(f"Cut report for {source.name}", illustrated(sections, pool))


def _summary(pool: PoolVerdict) -> Section:
    games = sum(card.games or 0 for card in pool.cards)
    evidence = (
        f"Behind them stand {words.plural(games, 'card-game')}: a game counts once for each "
        "card in it."
    )
    blocks: list[Block] = [
        Paragraph(f"{counts_sentence(pool)} {evidence}"),
        Paragraph(line_sentence(pool)),
        Paragraph(expected_wrong(pool)),
    ]
    if "few cards" in pool.warnings:
        blocks.append(Paragraph(STARTING_POINT))
    if hangs := face_value_sentence(pool):
        blocks.append(Paragraph(hangs))
    if first := weakest_sentence(pool):
        blocks.append(Paragraph(first))
    if pool.archetypes is not None:
        blocks.append(Paragraph(archetype_words.summary(pool.archetypes)))
    return Section("In one minute", tuple(blocks))


def weakest_sentence(pool: PoolVerdict) -> str:
    """Name the cards to cut first; say nothing where no card is called cut."""
    cuts = pool.called("cut")
    if not cuts:
        return ""
    first = "; ".join(
        f"{card.card} ({estimate(card, pool)}, {chance_below(card, pool)})" for card in cuts[:5]
    )
    rest = f"; and {len(cuts) - 5:,} more below" if len(cuts) > 5 else ""
    return f"Cut first, with best estimate and chance of being below the line: {first}{rest}."


def _cuts(pool: PoolVerdict) -> Section:
    cuts = pool.called("cut")
    if not cuts:
        nothing = "The data are not sure enough of any card. The lists further down say which "
        return Section(
            "Cut", (Paragraph(nothing + "come closest and what would settle them."),)
        )
    table = cards_table(
        cuts,
        pool,
        ("card", "games", "win_rate", "estimate", "range", "chance_below", "rank", "why"),
    )
    return Section("Cut", (table, Entries(tuple(_entry(card, pool) for card in cuts))))


def _entry(card: CardVerdict, pool: PoolVerdict) -> Entry:
    because = why(card, pool) or "no reason given"
    return Entry(
        card.card,
        f"{verdict_sentence(card, pool)} Why: {because}. {flips(card, pool)}".rstrip(),
    )


def _traps(pool: PoolVerdict) -> Section:
    title, traps = "Traps", pool.because("trap")
    if not traps:
        return Section(title, (Paragraph(_no_traps(pool)),))
    text = (
        "Cards that drafters take earlier or play more than most, and that are likelier than "
        "not to be weak. They cost the most games, and people will miss them: where one goes, "
        "say why."
    )
    facts = ("card", "games", "estimate", "range", "chance_below", "use", "verdict")
    return Section(title, (Paragraph(text), cards_table(traps, pool, facts)))


def _no_traps(pool: PoolVerdict) -> str:
    if "no usage" in pool.warnings:
        return NO_TRAPS_TOLD
    return NO_TRAPS if pool.shows_use else NO_TRAPS_BY_GAMES


def _unplayed(pool: PoolVerdict) -> Section:
    title = "Unplayed"
    if "no usage" in pool.warnings:
        text = (
            "The table does not say how often cards are taken or played, so nothing can be "
            "said here. A column of mean picks, or of copies drafted and played, would tell."
        )
        return Section(title, (Paragraph(text),))
    unplayed = sorted(pool.because("unplayed"), key=lambda card: card.usage or 0)
    if not unplayed:
        found = "Every card finds players." if pool.shows_use else NONE_BY_GAMES
        return Section(title, (Paragraph(found),))
    text = UNPLAYED if pool.shows_use else UNPLAYED_BY_GAMES
    use = ("use",) if pool.shows_use else ()
    facts = ("card", "games", *use, "estimate", "range", "chance_below", "verdict")
    table = cards_table(unplayed[:LONGEST], pool, facts)
    return Section(title, (Paragraph(text), table, *_rest(unplayed)))


def _rest(cards: Sequence[CardVerdict]) -> list[Block]:
    """Count the cards that a table of the first `LONGEST` leaves out."""
    left = len(cards) - LONGEST
    return [Paragraph(f"Not shown: {left:,} more.")] if left > 0 else []


def _shortlist(pool: PoolVerdict) -> Section:
    weakest = [card for card in pool.cards if card.games][: pool.shortlist]
    wrong = words.expected(sum(1 - card.chance_below for card in weakest))
    text = (
        f"The {words.plural(len(weakest), 'card')} with the lowest estimates, sure or not. "
        f"Expect {wrong} of them to be wrong, not truly below the line. Nobody can rank cards "
        "exactly, so each has a range of ranks, 1 being the weakest. "
        f"{_tolerable(pool)}"
    )
    facts = ("card", "estimate", "range", "chance_below", "chance_worst", "rank", "verdict")
    title = f"If you must cut {len(weakest):,} now"
    return Section(title, (Paragraph(text), cards_table(weakest, pool, facts)))


def _tolerable(pool: PoolVerdict) -> str:
    if not pool.tolerable:
        return "No list, however short, keeps the share expected to be wrong at 2 in 20."
    cards = words.plural(pool.tolerable, "card")
    return (
        f"The {cards} surest to be below the line make the longest list of which no more than "
        "2 in 20 are expected to be wrong."
    )


def _open(pool: PoolVerdict) -> Section:
    title, waiting = "What cannot be said yet", pool.called("more games")
    if not waiting:
        return Section(title, (Paragraph("Nothing: every card has its verdict."),))
    from winrate_tools.report.figures.outlook import ahead

    stuck = sum(card.games_needed is None for card in waiting)
    count = words.plural(len(waiting), "card")
    text = f"{count} cannot be called yet; those nearest to a verdict come first."
    if stuck < len(waiting):
        text += (
            " Games needed: after as many further games with the card, the chance that its "
            "verdict is settled is 16 in 20."
        )
    waiting.sort(key=_distance)
    facts = ("card", "games", "estimate", "range", "chance_below", "games_needed")
    table = cards_table(waiting[:LONGEST], pool, facts, always=("games_needed",))
    further = (Paragraph(said) for said in (ahead(pool), *prospects(pool)))
    return Section(title, (Paragraph(text), table, *_rest(waiting), *further))


def _distance(card: CardVerdict) -> tuple[float, float, float]:
    """Order by games needed; where none would do, by how likely games may still do it."""
    needed = float("inf") if card.games_needed is None else card.games_needed
    return needed, -(card.chance_worth or 0), -abs(card.chance_below - 0.5)
