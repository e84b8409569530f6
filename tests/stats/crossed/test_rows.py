"""The rows of a table of cards, ready to be counted."""

import numpy as np
import pytest
from scipy.special import logit

from winrate_tools.settings import Settings
from winrate_tools.stats.crossed.rows import (
    Rows,
    coded,
    expected_alone,
    expected_rate,
    ratio,
    rows_of,
)
from winrate_tools.tables import CardTable

UNKNOWN = np.nan
CARDS = ["Ash Vine", "Ash Vine", "Tin Moth", "Tin Moth", "Elm Bell"]
GAMES, WINS = [100, 50, 200, 40, 10], [60, 20, 110, 10, 4]
HOMES = ["Kites", "Toads", "Kites", "Toads", "Toads"]
BANDS = ["new", "old", "new", "new", "old"]


def table(card=CARDS, games=GAMES, wins=WINS, **columns) -> CardTable:
    return CardTable(card, games, wins, **columns)


def rows(cards: CardTable, **choices) -> Rows:
    return rows_of(cards, cards.totals(), Settings(**choices))


def test_rows_are_coded_by_card_and_stratum():
    found = rows(table(archetype=HOMES))

    assert found.card.tolist() == [0, 0, 1, 1, 2]
    assert found.stratum.tolist() == [0, 1, 0, 1, 1]
    assert (found.games.tolist(), found.wins.tolist()) == (GAMES, WINS)
    assert found.labels == {"archetype": HOMES}
    assert found.strata == ("archetype",)
    assert found.labelled.all()


def test_a_stratum_is_an_archetype_in_one_band():
    found = rows(table(archetype=HOMES, skill_band=BANDS))

    assert found.strata == ("archetype", "skill_band")
    assert found.stratum.tolist() == [0, 1, 0, 2, 1]
    assert found.labels == {"archetype": HOMES, "skill_band": BANDS}


def test_rows_of_one_card_in_one_stratum_are_one_row():
    halves = table([*CARDS, "Ash Vine"], [*GAMES, 30], [*WINS, 10], archetype=[*HOMES, "Kites"])

    found = rows(halves)

    assert found.games.tolist() == [130, *GAMES[1:]]
    assert found.wins.tolist() == [70, *WINS[1:]]
    assert found.card.tolist() == [0, 0, 1, 1, 2]


def test_rows_without_a_known_result_are_left_out():
    found = rows(table(wins=[60, UNKNOWN, 110, 10, UNKNOWN], archetype=HOMES))

    assert found.card.tolist() == [0, 1, 1]
    assert found.games.tolist() == [100, 200, 40]


@pytest.mark.parametrize(
    ("columns", "strata"),
    [
        ({}, ()),
        ({"archetype": ["Kites"] * 5}, ()),
        ({"archetype": HOMES, "skill_band": ["new"] * 5}, ("archetype",)),
        ({"archetype": [None] * 5, "skill_band": BANDS}, ("skill_band",)),
    ],
)
def test_a_stratum_needs_two_labels(columns, strata):
    assert rows(table(**columns)).strata == strata


@pytest.mark.parametrize(("unlabelled", "strata"), [(80, ("archetype",)), (84, ())])
def test_a_stratum_that_labels_too_few_games_is_not_used(unlabelled: int, strata):
    # Of 400 games, 80 are a fifth.
    games = np.array([100, 100, 200 - unlabelled, unlabelled])
    cards = table(
        ["a", "b", "c", "d"],
        games,
        games // 2,
        archetype=["Kites", "Toads", "Kites", None],
    )

    assert rows(cards).strata == strata


def test_the_usual_rate_of_players_takes_the_place_of_strata():
    cards = table(archetype=HOMES, skill_band=BANDS, player_rate=[0.5] * 5)

    found = rows(cards, baseline="player_rate")

    assert found.strata == ()
    assert set(found.stratum) == {0}
    assert found.games.tolist() == [150, 240, 10]


def test_each_stratum_has_its_own_rate_with_twenty_games_of_the_samples():
    mean = 204 / 400
    kites, toads = (170 + 20 * mean) / 320, (34 + 20 * mean) / 120

    rate, games = expected_rate(rows(table(archetype=HOMES)))

    assert rate == pytest.approx([kites, toads, kites, toads, toads])
    assert games.tolist() == [300, 100, 300, 100, 100]


def test_unlabelled_rows_are_held_against_the_whole_sample():
    cards = table(wins=[60, 20, 110, 10, 0], archetype=[*HOMES[:4], None])

    found = rows(cards)
    rate, games = expected_rate(found)

    assert found.labelled.tolist() == [True] * 4 + [False]
    assert rate[4] == pytest.approx(200 / 400)
    assert rate[1] == pytest.approx((30 + 20 * 0.5) / (90 + 20))
    assert games.tolist() == [300, 90, 300, 90, 400]


@pytest.mark.parametrize("won", [0, 1])
def test_rates_stay_between_0_and_1_where_everything_is_won_or_lost(won: int):
    cards = table(wins=np.multiply(GAMES, won), archetype=HOMES)

    rate, _ = expected_rate(rows(cards))

    assert np.all((rate > 0) & (rate < 1))
    assert np.isfinite(expected_alone(rows(cards), "archetype", 3)).all()


def test_what_one_stratum_alone_leads_to_expect():
    found = rows(table(archetype=HOMES, skill_band=BANDS))

    home, hands = (expected_alone(found, name, 4) for name in ("archetype", "skill_band"))

    kites, toads, new, old, mean = 170 / 300, 34 / 100, 180 / 340, 24 / 60, 204 / 400
    assert home[:3] == pytest.approx(
        logit([(100 * kites + 50 * toads) / 150, (200 * kites + 40 * toads) / 240, toads])
        - logit(mean)
    )
    assert hands[:3] == pytest.approx(
        logit([(100 * new + 50 * old) / 150, new, old]) - logit(mean)
    )
    assert home[3] == hands[3] == 0


def test_games_of_no_archetype_are_no_home():
    cards = table(wins=[60, 20, 110, 10, 0], archetype=[*HOMES[:4], None])

    home = expected_alone(rows(cards), "archetype", 3)

    assert home[2] == 0
    assert home[1] > home[0] > -1


def test_an_unknown_stratum_says_nothing():
    assert expected_alone(rows(table(archetype=HOMES)), "skill_band", 3).tolist() == [0] * 3


REST = {"unheld_games": [120, 60, 240, 50, 12], "unheld_wins": [55, 21, 100, 12, 5]}


def test_with_unheld_games_the_level_is_that_of_the_decks():
    found = rows(table(archetype=HOMES, **REST))

    assert found.has_unheld
    assert found.games.tolist() == [220, 110, 440, 90, 22]
    assert found.wins.tolist() == [115, 41, 210, 22, 9]
    assert (found.held_games.tolist(), found.held_wins.tolist()) == (GAMES, WINS)


def test_held_games_are_what_is_left_of_the_decks():
    decks = table(
        games=np.add(GAMES, REST["unheld_games"]),
        wins=np.add(WINS, REST["unheld_wins"]),
        **REST,
    )

    found = rows(decks, measure="deck")

    assert found.games.tolist() == [330, 530, 22]
    assert found.held_games.tolist() == [150, 240, 10]
    assert found.held_wins.tolist() == [80, 120, 4]


@pytest.mark.parametrize(
    ("columns", "choices"),
    [
        (REST, {"measure": "opening"}),
        (REST, {"allowance": 0.5}),
        (REST | {"unheld_wins": [55, 21, 100, UNKNOWN, 5]}, {}),
        (REST | {"unheld_games": [0] * 5, "unheld_wins": [0] * 5}, {}),
        ({"unheld_games": REST["unheld_games"]}, {}),
        ({}, {}),
        (REST, {"measure": "deck"}),
    ],
    ids=["opening", "given", "a blank", "none", "no wins", "no columns", "more than the decks"],
)
def test_without_unheld_games_throughout_there_is_nothing_to_compare(columns, choices):
    found = rows(table(**columns), **choices)

    assert not found.has_unheld
    assert found.games.tolist() == found.held_games.tolist() == [150, 240, 10]
    assert found.wins.tolist() == found.held_wins.tolist()


def test_cards_always_held_or_never_cannot_be_compared():
    cards = table(["a", "b"], [100, 0], [50, 0], unheld_games=[0, 90], unheld_wins=[0, 40])

    assert not rows(cards).has_unheld


def test_a_blank_beside_an_unknown_result_does_not_matter():
    cards = table(
        wins=[*WINS[:4], UNKNOWN], **REST | {"unheld_wins": [55, 21, 100, 12, UNKNOWN]}
    )

    assert rows(cards).has_unheld


def test_labels_are_coded_by_first_appearance():
    codes, names = coded(["b", None, "a", "b"])

    assert (codes.tolist(), names) == ([0, 1, 2, 0], ("b", None, "a"))


def test_a_ratio_of_nothing_is_0():
    assert ratio(np.array([1.0, 3.0]), np.array([2.0, 0.0])).tolist() == [0.5, 0]
