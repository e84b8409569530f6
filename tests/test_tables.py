"""Checked tables."""

import numpy as np
import pytest

from winrate_tools.errors import CountError
from winrate_tools.tables import (
    COUNTS,
    LABELS,
    MOST,
    NUMBERS,
    ArchetypeTable,
    CardTable,
    Source,
)

NAN = float("nan")


def table(**columns: object) -> CardTable:
    """Make a table of two cards, with some columns put in place of its own."""
    return CardTable(**({"card": ["Ash", "Bee"], "games": [10, 20], "wins": [4, 11]} | columns))


def test_keeps_what_it_was_given():
    cards = table(mean_pick=[1, 7.5], rarity=["rare", None])

    assert len(cards) == 2
    assert cards.card == ("Ash", "Bee")
    assert cards.games.tolist() == [10, 20]
    assert cards.wins.tolist() == [4, 11]
    assert cards.mean_pick.tolist() == [1, 7.5]
    assert cards.rarity == ("rare", None)


@pytest.mark.parametrize("name", [*NUMBERS[2:], *LABELS])
def test_a_column_not_given_is_none(name: str):
    assert getattr(table(), name) is None


@pytest.mark.parametrize("name", NUMBERS)
def test_numbers_are_double_precision_and_cannot_be_written(name: str):
    value = 0.5 if name == "player_rate" else 1
    wholes = {"unheld_games": [9, 9], "drafted": [9, 9], "wins": [0, 0]}

    column = getattr(table(**wholes | {name: [value, value]}), name)

    assert column.dtype == np.float64
    with pytest.raises(ValueError, match="read-only"):
        column[0] = 0


def test_does_not_change_with_the_array_it_came_from():
    games = np.array([10.0, 20.0])
    cards = table(games=games)

    games[0] = 3

    assert cards.games[0] == 10


def test_a_table_cannot_be_changed():
    with pytest.raises(AttributeError):
        table().card = ("Cat", "Dog")


def test_says_where_it_came_from():
    source = Source("cards.csv", "ab12", {"games": "Plays"}, ("1 row left out",))

    assert table(source=source).source is source
    assert table().source == Source("<memory>", "", {}, ())


def test_a_card_without_games_and_one_with_unknown_games_are_welcome():
    cards = table(games=[0, NAN], wins=[0, NAN])

    assert cards.games[0] == 0
    assert np.isnan(cards.games[1])


def test_wins_may_be_unknown_where_games_are_known():
    assert np.isnan(table(wins=[NAN, 3]).wins[0])


def test_bounds_themselves_are_fine():
    cards = table(games=[MOST, 0], wins=[MOST, 0], mean_pick=[1, 1], player_rate=[0.001, 0.999])

    assert cards.wins[0] == MOST


def test_a_table_may_be_empty():
    assert len(CardTable(card=[], games=[], wins=[])) == 0


@pytest.mark.parametrize("name", COUNTS)
@pytest.mark.parametrize(
    ("value", "shown"), [(-1, "-1"), (1.5, "1.5"), (2e15, "2e+15"), (float("inf"), "inf")]
)
def test_refuses_a_count_that_is_no_whole_number_from_zero(name: str, value: float, shown: str):
    with pytest.raises(CountError) as caught:
        table(**{name: [1, value]})

    assert str(caught.value) == f"'Bee': {name} must be a whole number from 0, got {shown}"


@pytest.mark.parametrize(
    ("columns", "message"),
    [
        ({"wins": [4, 21]}, "'Bee': wins 21 is more than games 20"),
        (
            {"unheld_games": [5, 5], "unheld_wins": [6, 5]},
            "'Ash': unheld_wins 6 is more than unheld_games 5",
        ),
        ({"drafted": [5, 5], "played": [5, 7]}, "'Bee': played 7 is more than drafted 5"),
        ({"games": [10, NAN]}, "'Bee': wins known without games"),
        (
            {"unheld_games": [NAN, 5], "unheld_wins": [1, 5]},
            "'Ash': unheld_wins known without unheld_games",
        ),
        ({"drafted": [NAN, 5], "played": [0, 5]}, "'Ash': played known without drafted"),
        ({"mean_pick": [0.9, 2]}, "'Ash': mean_pick must be at least 1, got 0.9"),
        ({"mean_pick": [1, float("inf")]}, "'Bee': mean_pick must be at least 1, got inf"),
        ({"player_rate": [0, 0.5]}, "'Ash': player_rate must be between 0 and 1, got 0"),
        ({"player_rate": [0.5, 1]}, "'Bee': player_rate must be between 0 and 1, got 1"),
        ({"card": ["Ash", "  "]}, "every row needs a card name, got a blank one"),
        ({"games": [10]}, "games must have one entry a row (2), got 1"),
        ({"wins": [1, 2, 3]}, "wins must have one entry a row (2), got 3"),
        ({"faction": ["Cog"]}, "faction must have one entry a row (2), got 1"),
        ({"card": 3}, "card must be a list of texts, got 3"),
        ({"card": "Ash"}, "card must be a list of texts, got 'Ash'"),
        ({"card": ["Ash", 3]}, "card must be a list of texts, got 3 among them"),
        ({"card": {"Ash", "Bee"} - {"Bee"}}, "card must be a list of texts, got {'Ash'}"),
        ({"games": None}, "games must be a list of numbers, got None"),
        ({"wins": None}, "wins must be a list of numbers, got None"),
        ({"games": 3}, "games must be a list of numbers, got 3"),
        ({"games": ["10", 20]}, "games must be a list of numbers, got '10' among them"),
        ({"wins": [True, False]}, "wins must be a list of numbers, got True among them"),
        (
            {"faction": ["Cog", NAN]},
            "faction must be a list of texts or None, got nan among them",
        ),
        ({"rarity": "rare"}, "rarity must be a list of texts or None, got 'rare'"),
        ({"source": "cards.csv"}, "source must be a Source, got 'cards.csv'"),
    ],
)
def test_refuses(columns: dict[str, object], message: str):
    with pytest.raises(CountError) as caught:
        table(**columns)

    assert str(caught.value) == message


def test_refuses_a_column_it_does_not_have():
    with pytest.raises(TypeError, match=r"^no column 'plays' in a card table; it has games, "):
        table(plays=[1, 2])


@pytest.mark.parametrize(
    ("columns", "strata"),
    [
        ({}, ()),
        ({"skill_band": ["low", "high"]}, ("skill_band",)),
        (
            {"skill_band": ["low", "high"], "archetype": ["Mirrors", None]},
            ("archetype", "skill_band"),
        ),
    ],
)
def test_names_the_strata_it_has(columns: dict[str, object], strata: tuple[str, ...]):
    assert table(**columns).strata == strata


def test_one_row_a_card_without_strata_is_its_own_total():
    cards = table()

    assert cards.totals() is cards


STRATIFIED = CardTable(
    card=["Bee", "Ash", "Bee", "Ash", "Cat"],
    games=[10, 30, 30, NAN, NAN],
    wins=[4, NAN, 20, NAN, NAN],
    archetype=["Mirrors", "Mirrors", "Boats", None, "Boats"],
    faction=[None, "Cog", "Wick", "Quill", None],
    mean_pick=[2, 5, 4, NAN, NAN],
    player_rate=[0.5, NAN, 0.6, NAN, NAN],
    drafted=[7, NAN, 3, 2, NAN],
    source=Source("cards.csv"),
)


def test_totals_have_one_row_a_card_in_order_of_appearance_and_no_strata():
    totals = STRATIFIED.totals()

    assert totals.card == ("Bee", "Ash", "Cat")
    assert totals.strata == ()
    assert totals.archetype is None
    assert totals.source == Source("cards.csv")


def test_totals_add_up_the_rows_that_know_a_count():
    totals = STRATIFIED.totals()

    assert totals.games.tolist() == pytest.approx([40, 30, NAN], nan_ok=True)
    assert totals.drafted.tolist() == pytest.approx([10, 2, NAN], nan_ok=True)
    assert totals.wins.tolist() == pytest.approx([24, NAN, NAN], nan_ok=True)


def test_totals_weigh_picks_and_rates_by_games():
    totals = STRATIFIED.totals()

    assert totals.mean_pick.tolist() == pytest.approx([3.5, 5, NAN], nan_ok=True)
    assert totals.player_rate.tolist() == pytest.approx([0.575, NAN, NAN], nan_ok=True)


def test_totals_take_the_first_known_label():
    assert STRATIFIED.totals().faction == ("Wick", "Cog", None)


def test_totals_leave_out_columns_that_the_table_does_not_have():
    totals = STRATIFIED.totals()

    assert totals.played is None
    assert totals.rarity is None


def test_totals_leave_the_table_as_it_was():
    STRATIFIED.totals()

    assert len(STRATIFIED) == 5
    assert STRATIFIED.archetype == ("Mirrors", "Mirrors", "Boats", None, "Boats")


def test_rows_of_a_card_add_up_without_strata_too():
    cards = CardTable(card=["Ash", "Ash"], games=[10, 5], wins=[4, 5])

    totals = cards.totals()

    assert totals.card == ("Ash",)
    assert (totals.games.tolist(), totals.wins.tolist()) == ([15], [9])


def test_zero_games_do_not_hide_a_known_pick():
    cards = CardTable(card=["Ash", "Ash"], games=[0, 0], wins=[0, 0], mean_pick=[3, 5])

    assert cards.totals().mean_pick.tolist() == pytest.approx([4])


@pytest.mark.parametrize(
    ("part", "whole"),
    [("wins", "games"), ("unheld_wins", "unheld_games"), ("played", "drafted")],
)
def test_totals_do_not_water_down_a_rate_with_rows_of_unknown_wins(part: str, whole: str):
    counts = {"games": [9, 9, 9], "wins": [0, 0, 0]}
    counts |= {whole: [10, 30, 5], part: [6, NAN, NAN]}

    totals = CardTable(card=["Ash", "Ash", "Bee"], **counts).totals()

    assert getattr(totals, whole).tolist() == [10, 5]
    assert getattr(totals, part).tolist() == pytest.approx([6, NAN], nan_ok=True)


def test_totals_lose_the_strata_even_where_each_card_has_one_row():
    totals = table(archetype=["Mirrors", "Boats"]).totals()

    assert totals.strata == ()
    assert totals.games.tolist() == [10, 20]


def archetypes(**columns: object) -> ArchetypeTable:
    """Make a table of two archetypes in two bands, some columns put in place of its own."""
    standard = {
        "archetype": ["Kites", "Kites", "Moths", "Moths"],
        "games": [20, 30, 10, NAN],
        "wins": [9, 16, 4, NAN],
        "skill_band": ["new", "old", "new", "old"],
        "factions": [None, "Wick", "Cog", "Hearth"],
    }
    return ArchetypeTable(**standard | columns)


def test_an_archetype_table_keeps_what_it_was_given():
    table = archetypes(source=Source("a.csv"))

    assert len(table) == 4
    assert table.games[:3].tolist() == [20, 30, 10]
    assert table.skill_band == ("new", "old", "new", "old")
    assert table.source.name == "a.csv"
    with pytest.raises(ValueError, match="read-only"):
        table.wins[0] = 1


def test_archetypes_add_up_over_skill_bands():
    totals = archetypes().totals()

    assert totals.archetype == ("Kites", "Moths")
    assert totals.games.tolist() == [50, 10]
    assert totals.wins.tolist() == [25, 4]
    assert totals.skill_band is None
    assert totals.factions == ("Wick", "Cog")


def test_games_of_unknown_wins_do_not_water_down_an_archetypes_rate():
    totals = archetypes(games=[20, 30, 10, 90]).totals()

    assert totals.games.tolist() == [50, 10]


def test_an_archetype_table_without_factions_adds_up_without_them():
    assert archetypes(factions=None).totals().factions is None


@pytest.mark.parametrize(
    ("columns", "message"),
    [
        ({"wins": [9, 31, 4, NAN]}, "'Kites': wins 31 is more than games 30"),
        ({"games": [20, 30.5, 10, NAN]}, "'Kites': games must be a whole number from 0"),
        ({"archetype": ["Kites", "", "Moths", "Moths"]}, "needs an archetype name"),
        ({"skill_band": ["new"]}, r"skill_band must have one entry a row \(4\), got 1"),
        ({"wins": [9, 16, 4, 1]}, "'Moths': wins known without games"),
    ],
)
def test_an_archetype_table_that_makes_no_sense_does_not_exist(columns: dict, message: str):
    with pytest.raises(CountError, match=message):
        archetypes(**columns)


def test_a_table_prints_in_a_line_what_it_holds():
    cards = CardTable(
        [f"Card {n}" for n in range(2000)],
        [9] * 2000,
        [4] * 2000,
        faction=["Cog"] * 2000,
        source=Source("cards.csv"),
    )
    decks = ArchetypeTable(["Kites"], [9], [4], skill_band=["new"])

    said = "2,000 rows of games, wins, faction; Card 0, Card 1, Card 2 and 1,997 more"
    assert str(cards) == repr(cards) == f"<CardTable cards.csv: {said}>"
    assert repr(decks) == "<ArchetypeTable <memory>: 1 row of games, wins, skill_band; Kites>"


def test_tables_of_few_names_and_of_none_print_too():
    assert repr(CardTable(["a", "b", "c"], [9] * 3, [4] * 3)).endswith("; a, b, c>")
    assert repr(CardTable([], [], [])) == "<CardTable <memory>: 0 rows of games, wins; none>"
