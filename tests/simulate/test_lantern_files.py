import csv
import io

import numpy as np
import pytest

from winrate_tools.simulate.lantern_files import demo_files
from winrate_tools.simulate.lantern_stories import NARROW, NEWCOMER_TRAPS
from winrate_tools.simulate.lantern_world import lantern_fair


@pytest.fixture(scope="module")
def files():
    return demo_files(lantern_fair())


def rows(content, encoding="utf-8"):
    return list(csv.DictReader(io.StringIO(content.decode(encoding))))


def total(table, column):
    return sum(int(row[column]) for row in table)


def test_the_files_are_those_that_the_readme_describes(files):
    readme = files["README.md"].decode()

    assert list(files) == [
        "README.md",
        "cards.csv",
        "cards_by_archetype.csv",
        "archetypes.csv",
        "pool.csv",
        "candidates.csv",
        "home.csv",
        "games.csv",
        "market_export.csv",
        "truth.csv",
        "truth_candidates.csv",
    ]
    assert all(f"- `{name}`" in readme for name in list(files)[1:])


def test_lines_end_as_everywhere_and_nothing_is_large(files):
    assert not any(b"\r" in content for content in files.values())
    assert all(content.endswith(b"\n") for content in files.values())
    assert max(len(content) for content in files.values()) < 500_000


def test_the_cards_are_one_row_each_with_rates_that_fit_their_counts(files):
    cards = rows(files["cards.csv"])
    rates = [float(row["win_rate"].rstrip("%")) for row in cards]
    wanted = [100 * int(row["wins"]) / int(row["games"]) for row in cards]

    assert len({row["card"] for row in cards}) == len(cards) == 240
    np.testing.assert_allclose(rates, wanted, atol=0.0501)


def test_the_detailed_table_adds_up_to_the_plain_one(files):
    cards, detailed = rows(files["cards.csv"]), rows(files["cards_by_archetype.csv"])
    games = dict.fromkeys((row["card"] for row in cards), 0)
    for row in detailed:
        games[row["card"]] += int(row["games"])

    assert games == {row["card"]: int(row["games"]) for row in cards}
    assert total(detailed, "wins") == total(cards, "wins")


def test_the_detailed_table_has_populated_rows_only(files):
    detailed = rows(files["cards_by_archetype.csv"])
    taken = [int(row["drafted"]) for row in detailed]

    assert min(taken) > 0
    assert len({(row["card"], row["archetype"], row["skill_band"]) for row in detailed}) == len(
        detailed
    )


def test_archetypes_hold_a_deck_sizeth_of_all_copies_games(files):
    detailed, decks = rows(files["cards_by_archetype.csv"]), rows(files["archetypes.csv"])
    copies = total(detailed, "games") + total(detailed, "unheld_games")

    assert len(decks) == 27
    assert copies == 22 * total(decks, "games")


def test_the_pool_knows_every_card(files):
    pool, cards = rows(files["pool.csv"]), rows(files["cards.csv"])
    by_rarity = {row["rarity"]: row["copies"] for row in pool}

    assert [row["card"] for row in pool] == [row["card"] for row in cards]
    assert by_rarity == {"common": "3", "uncommon": "2", "rare": "1", "lantern": "1"}
    assert {row["slot"] for row in pool if row["rarity"] == "lantern"} == {"lantern"}
    assert sum(row["protected"] == "yes" for row in pool) == 6
    assert all(float(row["price"]) > 0 for row in pool)


def test_a_pool_card_names_the_archetypes_of_its_trade(files):
    kettle = rows(files["pool.csv"])[0]

    assert kettle["card"] == "Ember Kettle"
    assert kettle["archetypes"] == "Candlelit Supper; Recipe Book; Honey & Thyme"


def test_the_export_says_the_same_in_another_dialect(files):
    text = files["market_export.csv"].decode("cp1252")
    title, note, *body = text.splitlines()
    table = list(csv.DictReader(body, delimiter=";"))
    cards = rows(files["cards.csv"])

    assert "Übungsrunden" in title
    assert "gezählt" in note
    assert [row["Karte"] for row in table] == [*(row["card"] for row in cards), "Summe"]
    assert [row["Spiele"].replace(".", "") for row in table[:-1]] == [
        row["games"] for row in cards
    ]
    assert [row["Siegquote"] for row in table[:-1]] == [
        row["win_rate"].replace(".", ",").replace("%", " %") for row in cards
    ]


def test_the_exports_last_row_sums_the_others(files):
    last = files["market_export.csv"].decode("cp1252").splitlines()[-1].split(";")
    cards = rows(files["cards.csv"])
    sums = [last[place].replace(".", "") for place in (4, 5, 8, 9)]

    assert sums == [str(total(cards, name)) for name in ("games", "wins", "drafted", "played")]
    assert last[4].count(".") == 2


def test_the_export_is_no_utf8(files):
    with pytest.raises(UnicodeDecodeError):
        files["market_export.csv"].decode("utf-8")


def test_the_truth_is_that_of_the_fair(files):
    fair, truth = lantern_fair(), rows(files["truth.csv"])
    points = [float(row["own_effect_points"]) for row in truth]
    carried = [row["carried"] for row in truth]

    np.testing.assert_allclose(points, fair.points, atol=0.00501)
    assert [row["is_trap"] == "yes" for row in truth] == fair.simulation.truth.is_trap.tolist()
    assert carried.count("up") == fair.carried_up.sum()
    assert carried.count("down") == fair.carried_down.sum()
    assert sum(row["is_unplayed"] == "yes" for row in truth) == 12


@pytest.mark.parametrize(
    ("column", "cards"), [("newcomer_trap", NEWCOMER_TRAPS), ("narrow", NARROW)]
)
def test_the_truth_marks_the_cards_of_the_stories(files, column, cards):
    truth = rows(files["truth.csv"])

    assert {row["card"] for row in truth if row[column] == "yes"} == set(cards)
    assert {row[column] for row in truth} == {"yes", "no"}


@pytest.mark.parametrize(
    "words", ["weak in the hands", "good in one archetype", "newcomer trap", "or narrow"]
)
def test_the_readme_says_what_the_stories_are(files, words):
    assert words in files["README.md"].decode()


def test_both_card_tables_count_the_same(files):
    detailed, totals = rows(files["cards_by_archetype.csv"]), rows(files["cards.csv"])

    for column in ("games", "wins", "drafted", "played"):
        assert total(detailed, column) == total(totals, column)
