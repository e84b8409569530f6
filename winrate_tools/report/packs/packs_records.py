"""What a table sees as records for other programs: CSV and JSON, with every digit."""

from collections.abc import Sequence
from dataclasses import asdict

from winrate_tools.decide.packs.exposure import CardDealt, CopyChances, PacksSeen
from winrate_tools.report.cards.records import object_json, rows_csv
from winrate_tools.tables import Source

COLUMNS = (
    *("card", "slot", "faction", "rarity", "role", "copies"),
    *("chance_dealt", "mean_dealt", "dealt_low", "dealt_high"),
    *("chance_seen", "seen_low", "seen_high"),
    *("dealt_one_fewer", "seen_one_fewer", "dealt_one_more", "seen_one_more"),
)


def packs_csv(cards: Sequence[CardDealt]) -> str:
    """Write cards as CSV, one row a card, the likeliest to be dealt first.

    Returns
    -------
    str
        CSV with a header line; unknown, and what cannot be, is blank. Without cards the
        header stands alone.
    """
    return rows_csv([card_row(card) for card in cards], COLUMNS)


def packs_json(
    seen: PacksSeen, cards: Sequence[CardDealt], source: Source, *, version: str
) -> str:
    """Write what a table sees as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``source``, ``draft``, ``is_enough``,
        ``most_seats``, ``most_packs``, ``cards_passing`` one seat in a round,
        ``different_cards`` dealt, ``slots``, ``groups``, and ``cards`` as in the CSV.
    """
    different = seen.different
    return object_json(
        version=version,
        source=asdict(source),
        draft=asdict(seen.draft),
        is_enough=seen.is_enough,
        most_seats=seen.most_seats,
        most_packs=seen.most_packs,
        cards_passing=seen.passing,
        different_cards=None if different is None else different._asdict(),
        slots=[asdict(slot) for slot in seen.slots],
        groups=[{**asdict(group), "dealt": group.dealt._asdict()} for group in seen.groups],
        cards=[card_row(card) for card in cards],
    )


def card_row(card: CardDealt) -> dict[str, object]:
    """Return one card as `COLUMNS`, chances as fractions."""
    own = card.card
    return dict(
        zip(
            COLUMNS,
            (
                *(own.card, card.slot, own.faction, own.rarity, own.role, own.copies),
                *(card.now.dealt, *card.dealt),
                *(card.now.seen, card.now.seen_low, card.now.seen_high),
                *_beside(card.fewer),
                *_beside(card.more),
            ),
            strict=True,
        )
    )


def _beside(chances: CopyChances | None) -> tuple[float | None, float | None]:
    return (None, None) if chances is None else (chances.dealt, chances.seen)
