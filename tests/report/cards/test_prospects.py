"""What more games can do for the cards that cannot be called yet."""

from winrate_tools.report.cards.prospects import prospects


def waiting(make_card, name, worth=None, chance=None):
    return make_card(name, 0.489, games_needed=None, games_worth=worth, chance_worth=chance)


def test_cards_that_games_may_settle_are_told_how_many_and_how_likely(make_card, make_pool):
    tried = [
        waiting(make_card, f"Lamp {games}", games, 0.5) for games in (400, 1000, 1200, 90_000)
    ]

    [said] = prospects(make_pool(*tried))

    assert said.startswith(
        'Games may settle any of them or not ("or never"): most of what games can do is done '
        "after about 1,200 more a card, and about 2.0 of 4 are expected to have a verdict then."
    )
    assert (
        "put friends' records of the same pool into one table; or take a wider margin" in said
    )
    assert said.endswith(
        "Finer counts can help: one row for each archetype, or the games in which the card "
        "stayed in the deck."
    )


def test_cards_beyond_help_are_told_apart_from_those_worth_a_try(make_card, make_pool):
    pool = make_pool(
        waiting(make_card, "Ash Vine", 500, 0.5),
        waiting(make_card, "Tin Moth"),
        make_card("Elm Bell", 0.489, games_needed=70),
    )

    worth, beyond = prospects(pool)

    assert worth.startswith("Games may settle 1 of them or not")
    assert beyond.startswith("More of the same games will not help 1 of them: too close to")
    assert beyond.endswith("such as the company the card keeps.")


def test_there_is_nothing_to_add_where_every_card_has_a_number(make_card, make_pool):
    assert list(prospects(make_pool(make_card("Elm Bell", 0.489, games_needed=70)))) == []


def test_finer_counts_are_not_asked_for_twice_nor_where_they_are_there(make_card, make_pool):
    pool = make_pool(waiting(make_card, "Tin Moth"), strata=("archetype",), has_unheld=True)

    [said] = prospects(pool)

    assert "will not help any of them" in said
    assert "Finer counts" not in said
