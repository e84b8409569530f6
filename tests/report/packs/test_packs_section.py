"""What a table gets to see, as a document."""

from dataclasses import replace

import pytest

from winrate_tools.decide.packs.packs import packs_seen
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.forms import markdown, text
from winrate_tools.report.forms.screen import Screen
from winrate_tools.report.packs import packs_words
from winrate_tools.report.packs.packs_section import packs_report
from winrate_tools.stats.packs.exposure import Draft

CARDS = [
    PoolCard(f"Moth {n}", 1 + n % 3, faction="Wick" if n % 2 else "Cog", archetypes=("Kites",))
    for n in range(120)
]
LIGHTS = [PoolCard(f"Light {n}", 1, faction="Cog", slot="lantern") for n in range(20)]
SEEN = packs_seen(PoolTable([*CARDS, *LIGHTS]), Draft(5, 3, 15))
SHORT = packs_seen(PoolTable([*CARDS, *LIGHTS]), Draft(8, 3, 15))
PLAIN = packs_seen(PoolTable([PoolCard(f"Oar {n}", 2) for n in range(40)]), Draft(2, 1, 10))


def rows(document, start: str) -> list[list[str]]:
    lines = markdown.render(document).splitlines()
    return [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in lines
        if line.startswith(f"| {start}")
    ]


def test_the_answer_comes_first_in_words():
    document = packs_report(SEEN, "pool.csv", 10)
    opening = [block.text for block in document.sections[0].blocks[:3]]

    assert document.title == "What 5 seats see of pool.csv"
    assert opening == [
        packs_words.dealt_sentence(SEEN),
        packs_words.served_sentence(SEEN),
        packs_words.passing_sentence(SEEN),
    ]


def test_sections_follow_from_copies_to_how_to_read():
    titles = [section.title for section in packs_report(SEEN, "pool.csv", 10).sections]

    assert titles == [
        "", "What a copy is worth", "Factions", "Archetypes", "Cards", "What follows",
        "How to read this",
    ]  # fmt: skip


def test_every_slot_has_a_row():
    document = packs_report(SEEN, "pool.csv", 10)

    assert rows(document, "Slot") == [
        ["Slot", "Places a pack", "Cards in the pool", "Packs take", "Left over"]
    ]
    assert rows(document, "main") == [["main", "14", "240", "210", "30"]]
    assert rows(document, "lantern") == [["lantern", "1", "20", "15", "5"]]


def test_every_number_of_copies_has_a_row_in_every_slot():
    document = packs_report(SEEN, "pool.csv", 10)
    main, lantern = rows(document, "1 copy")

    assert main == ["1 copy", "main", "17 in 20", "17 in 20", "15 in 20", "4 to 17 in 20"]
    assert lantern[1:4] == ["lantern", "15 in 20", "15 in 20"]
    second, *_ = rows(document, "2 copies")
    gain = SEEN.slots[0].steps[1].dealt - SEEN.slots[0].steps[0].dealt
    assert second[3] == packs_words.added(gain)


def test_every_group_has_a_row():
    document = packs_report(SEEN, "pool.csv", 10)
    [wick] = [group for group in SEEN.groups if group.name == "Wick"]

    assert rows(document, "Wick") == [
        [
            "Wick", "60", "120", f"{wick.dealt.mean:.1f}",
            f"{wick.dealt.low} to {wick.dealt.high}", packs_words.for_each(wick, 5),
        ]
    ]  # fmt: skip
    assert rows(document, "no archetype")[0][1:4] == ["20", "20", "15.0"]


def test_the_cards_likeliest_to_be_dealt_are_listed_and_the_rest_counted():
    document = packs_report(SEEN, "pool.csv", 2)
    first, second = rows(document, "Moth")
    card = SEEN.cards[0]

    assert first == [
        "Moth 2", "main", "3", packs_words.chance(card.now), "2 to 3",
        packs_words.sure_in_twenty(card.now.seen), packs_words.by_how_early(card.now),
        packs_words.chance(card.fewer), packs_words.chance(card.more),
    ]  # fmt: skip
    assert second[0] == "Moth 5"
    assert "Not shown: 138 more." in markdown.render(document)
    assert "Not shown" not in markdown.render(packs_report(SEEN, "pool.csv", 140))


def test_a_pool_of_one_slot_and_no_labels_speaks_of_neither():
    document = packs_report(PLAIN, "pool.csv", 3)
    said = markdown.render(document)

    assert "slot" not in said.lower()
    assert "run thin" not in said
    assert [section.title for section in document.sections][2] == "Cards"
    assert rows(document, "1 copy")[0][1] == "5 in 20"
    assert rows(document, "Oar 0")[0][1] == "2"


def test_advice_is_that_of_the_numbers():
    said = " ".join(text.render(packs_report(SEEN, "pool.csv", 2)).split())

    assert f"- To count on a card: {packs_words.counted_on_sentence(SEEN.slots)}" in said
    assert f"- What may run thin: {packs_words.thin_sentence(SEEN)}" in said
    assert f"- A larger table: {packs_words.room_sentence(SEEN)}" in said
    assert "go once round the 5 seats" in said


def test_a_pool_too_small_says_what_it_lacks_and_no_chances():
    document = packs_report(SHORT, "pool.csv", 10)

    [only] = document.sections
    assert [block.text for block in only.blocks[:2]] == [
        packs_words.short_sentence(SHORT),
        packs_words.instead_sentence(SHORT),
    ]
    assert rows(document, "lantern") == [["lantern", "1", "20", "24", "4 too few"]]
    assert "in 20" not in markdown.render(document)


@pytest.mark.parametrize("columns", [60, 80])
def test_no_table_is_wider_than_the_page(columns: int):
    lines = text.render(packs_report(SEEN, "pool.csv", 5), Screen(columns)).splitlines()

    assert max(map(len, lines)) <= columns


def test_where_few_cards_name_archetypes_it_is_said_why_none_are_counted():
    cards = [replace(card, archetypes=()) for card in CARDS[1:]]
    few = packs_seen(PoolTable([CARDS[0], *cards]), Draft(5, 3, 15))

    said = markdown.render(packs_report(few, "p", 3))

    assert packs_words.FEW_NAMED in said
    assert "no archetype" not in said
    assert packs_words.FEW_NAMED not in markdown.render(packs_report(SEEN, "p", 3))


@pytest.mark.parametrize("seats", [5, 8], ids=["enough", "too few cards"])
def test_cards_without_copies_stand_apart(seats: int):
    pool = PoolTable([*CARDS, *LIGHTS, PoolCard("Ghost", 0)])

    said = markdown.render(packs_report(packs_seen(pool, Draft(seats, 3, 15)), "p", 3))

    assert "Without copies, and so never dealt: Ghost." in said
    assert "Without copies" not in markdown.render(packs_report(SEEN, "p", 3))
