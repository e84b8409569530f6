"""What a table gets to see of its pool: in words, by copy, by group and by card."""

from collections.abc import Sequence

from winrate_tools.decide.packs.exposure import CardDealt, PacksSeen, SlotDealt
from winrate_tools.decide.packs.pack_groups import KINDS, GroupDealt, GroupKind
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
from winrate_tools.report.packs import packs_words

TITLES: dict[GroupKind, str] = {
    "faction": "Factions",
    "rarity": "Rarities",
    "role": "Roles",
    "archetype": "Archetypes",
}


def packs_report(seen: PacksSeen, name: str, top: int) -> Document:
    """Describe what a table gets to see of a pool.

    Returns
    -------
    Document
        The answer in a minute, what a copy is worth, groups, cards, advice; for a pool that is
        too small, what it lacks and what it does serve.
    """
    title = f"What {seen.draft.seats} seats see of {name}"
    if not seen.is_enough:
        return Document(title, (_shortage(seen),))
    groups = [_group_section(kind, seen) for kind in KINDS]
    return Document(
        title,
        (
            _minute(seen),
            _copies(seen.slots),
            *(section for section in groups if section is not None),
            _cards(seen, top),
            _advice(seen),
            _how_to_read(seen),
        ),
    )


def _minute(seen: PacksSeen) -> Section:
    sentences = (
        packs_words.dealt_sentence(seen),
        packs_words.served_sentence(seen),
        packs_words.passing_sentence(seen),
    )
    blocks: list[Block] = [Paragraph(sentence) for sentence in sentences]
    blocks += _absent(seen)
    if seen.few_name_archetypes:
        blocks.append(Paragraph(packs_words.FEW_NAMED))
    if len(seen.slots) > 1:
        blocks.append(_slots_table(seen.slots))
    return Section("", tuple(blocks))


def _shortage(seen: PacksSeen) -> Section:
    return Section(
        "",
        (
            Paragraph(packs_words.short_sentence(seen)),
            Paragraph(packs_words.instead_sentence(seen)),
            *_absent(seen),
            _slots_table(seen.slots),
        ),
    )


def _absent(seen: PacksSeen) -> list[Block]:
    return [Paragraph(packs_words.absent_sentence(seen))] if seen.absent else []


def _slots_table(slots: Sequence[SlotDealt]) -> Table:
    columns = (
        TableColumn("Slot"),
        TableColumn("Places a pack", is_number=True, spare=1),
        TableColumn("Cards in the pool", is_number=True),
        TableColumn("Packs take", is_number=True),
        TableColumn("Left over", is_number=True),
    )
    rows = [
        (
            slot.slot,
            words.count(slot.places),
            words.count(slot.copies),
            words.count(slot.needed),
            packs_words.left_over(slot),
        )
        for slot in slots
    ]
    return Table(columns, tuple(rows))


def _copies(slots: Sequence[SlotDealt]) -> Section:
    columns = (
        TableColumn("A card with"),
        TableColumn("Slot"),
        TableColumn("Dealt at all", is_number=True),
        TableColumn("Last copy adds", is_number=True, spare=1),
        TableColumn("One seat sees it", is_number=True),
        TableColumn("Taken early to late", is_number=True, spare=2),
    )
    rows = [row for slot in slots for row in _steps(slot)]
    table = _without_slot(columns, rows) if len(slots) == 1 else Table(columns, tuple(rows))
    return Section(
        "What a copy is worth", (Paragraph(packs_words.copies_sentence(slots)), table)
    )


def _without_slot(columns: Sequence[TableColumn], rows: Sequence[tuple[str, ...]]) -> Table:
    """Leave out the second column, which names the only slot."""
    return Table((columns[0], *columns[2:]), tuple((row[0], *row[2:]) for row in rows))


def _steps(slot: SlotDealt) -> list[tuple[str, ...]]:
    before = [0.0, *(step.dealt for step in slot.steps)]
    return [
        (
            words.plural(step.copies, "copy", "copies"),
            slot.slot,
            packs_words.chance(step),
            packs_words.added(step.dealt - last),
            packs_words.sure_in_twenty(step.seen),
            packs_words.by_how_early(step),
        )
        for step, last in zip(slot.steps, before, strict=False)
    ]


def _group_section(kind: GroupKind, seen: PacksSeen) -> Section | None:
    groups = [group for group in seen.groups if group.kind == kind]
    if not groups:
        return None
    columns = (
        TableColumn(kind.capitalize()),
        TableColumn("Different cards", is_number=True, spare=3),
        TableColumn("With copies", is_number=True, spare=2),
        TableColumn("Dealt on average", is_number=True, spare=1),
        TableColumn("8 in 10 drafts deal", is_number=True),
        TableColumn("For each seat", is_number=True, spare=4),
    )
    rows = tuple(_group_row(group, seen.draft.seats) for group in groups)
    sentence = packs_words.groups_sentence(groups)
    return Section(TITLES[kind], (Paragraph(sentence), Table(columns, rows)))


def _group_row(group: GroupDealt, seats: int) -> tuple[str, ...]:
    return (
        packs_words.group_name(group),
        words.count(group.cards),
        words.count(group.copies),
        packs_words.mean(group.dealt.mean),
        packs_words.low_to_high(group.dealt.low, group.dealt.high),
        packs_words.for_each(group, seats),
    )


def _cards(seen: PacksSeen, top: int) -> Section:
    columns = (
        TableColumn("Card"),
        TableColumn("Slot", spare=5),
        TableColumn("Copies", is_number=True),
        TableColumn("Dealt at all", is_number=True),
        TableColumn("8 in 10 drafts deal", is_number=True, spare=2),
        TableColumn("One seat sees it", is_number=True),
        TableColumn("Taken early to late", is_number=True, spare=4),
        TableColumn("With a copy less", is_number=True, spare=3),
        TableColumn("With one more", is_number=True, spare=3),
    )
    rows = [_card_row(card) for card in seen.cards[:top]]
    is_one = len(seen.slots) == 1
    table = _without_slot(columns, rows) if is_one else Table(columns, tuple(rows))
    alike = "as many copies" if is_one else "as many copies in the same slot"
    text = Paragraph(
        f"The likeliest to be dealt first; cards with {alike} have the same chances. The last "
        "two columns give the chance of being dealt if the card had one copy less or one more."
    )
    left = len(seen.cards) - len(rows)
    rest = [Paragraph(f"Not shown: {left:,} more.")] if left else []
    return Section("Cards", (text, table, *rest))


def _card_row(card: CardDealt) -> tuple[str, ...]:
    return (
        card.card.card,
        card.slot,
        words.count(card.now.copies),
        packs_words.chance(card.now),
        packs_words.low_to_high(card.dealt.low, card.dealt.high),
        packs_words.sure_in_twenty(card.now.seen),
        packs_words.by_how_early(card.now),
        packs_words.chance(card.fewer),
        packs_words.chance(card.more),
    )


def _advice(seen: PacksSeen) -> Section:
    thin = packs_words.thin_sentence(seen)
    entries = (
        Entry("To count on a card", packs_words.counted_on_sentence(seen.slots)),
        *([Entry("What may run thin", thin)] if seen.groups else []),
        Entry("A larger table", packs_words.room_sentence(seen)),
    )
    return Section("What follows", (Entries(entries),))


def _how_to_read(seen: PacksSeen) -> Section:
    entries = (
        Entry(
            "8 in 10 drafts deal",
            "of 10 drafts from this pool, about 8 or more keep to this range; the shuffle does "
            "the rest. The chances are exact for cards that are well shuffled and dealt "
            "without putting any back.",
        ),
        Entry("8 in 20", "in 20 drafts it happens in about 8."),
        Entry("One seat sees it", _sight(seen)),
        Entry(
            "With a copy less, with one more",
            "as many cards stay in the pool: another card comes or goes instead.",
        ),
    )
    return Section("How to read this", (Entries(entries),))


def _sight(seen: PacksSeen) -> str:
    return (
        "the chance that a player at one seat holds a pack with the card in it at least once, "
        "if drafters take the card as early and as late as any other. The range beside it goes "
        "from a card that everyone takes at sight to one that everyone lets pass; the truth "
        f"lies within. In each round the packs go once round the {seen.draft.seats} seats, a "
        "card leaving them at each, which is common practice and no rule."
    )
