"""Tables of cards."""

from winrate_tools.report.cards.card_tables import FACTS, cards_table


def test_headings_carry_the_line_the_range_and_the_length_of_the_list(pool):
    table = cards_table(pool.cards, pool, ("card", "range", "chance_below", "chance_worst"))

    assert [column.heading for column in table.columns] == [
        "Card",
        "8 in 10 range",
        "Below 49.0%",
        "In weakest 3",
    ]


def test_a_column_that_a_table_is_about_is_always_shown(pool):
    facts = ("card", "games", "games_needed")
    table = cards_table(pool.cards, pool, facts, always=("games_needed",))

    assert [column.spare for column in table.columns] == [0, 4, 0]


def test_every_fact_can_be_told_of_every_card(pool):
    table = cards_table(pool.cards, pool, tuple(FACTS))

    assert {len(row) for row in table.rows} == {len(FACTS)}
    assert table.tones == tuple(card.verdict for card in pool.cards)


def test_an_unknown_count_is_not_nought(make_card, make_pool):
    card = make_card("Ash Vine", 0.5, games=None)
    table = cards_table([card], make_pool(card), ("card", "games", "win_rate", "use"))

    assert table.rows == (("Ash Vine", "?", "", "not known"),)
