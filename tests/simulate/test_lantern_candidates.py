"""Cards that might come to Lantern Fair."""

import numpy as np
import pytest

from winrate_tools.simulate.lantern_candidates import (
    MARKETS,
    candidate_rows,
    candidate_truth,
    home_of,
    newcomers,
)
from winrate_tools.simulate.lantern_files import COPIES, PRICES
from winrate_tools.simulate.lantern_world import FAILING, TOO_STRONG, lantern_fair


@pytest.fixture(scope="module")
def rows():
    heading, *body = candidate_rows(PRICES, COPIES)
    return [dict(zip(heading, row, strict=True)) for row in body]


def test_no_candidate_is_in_the_pool_or_stands_twice(rows):
    names = {row["card"] for row in rows}

    assert len(names) == len(rows) == 40
    assert names.isdisjoint(lantern_fair().simulation.truth.card)


def test_every_candidate_has_a_record_or_a_guess(rows):
    guessed = [row for row in rows if row["guess"]]
    measured = [row for row in rows if not row["guess"]]

    assert len(guessed) == 8
    assert {row["guess"] for row in guessed} == {"weaker", "like", "stronger"}
    assert all(row["games"] == row["wins"] == row["baseline"] == "" for row in guessed)
    assert all(0 < row["wins"] < row["games"] for row in measured)
    assert {row["baseline"] for row in measured} == set(MARKETS)
    assert {row["spread"] for row in guessed} == {"", "0.03"}


def test_candidates_cover_all_that_a_plan_may_have_to_keep(rows):
    assert {row["rarity"] for row in rows} == set(PRICES)
    assert {row["copies"] for row in rows} == {1, 2, 3}
    assert len({row["faction"] for row in rows}) == 16
    assert len({row["role"] for row in rows}) == 6
    assert {row["slot"] for row in rows if row["rarity"] == "lantern"} == {"lantern"}
    assert min(float(row["price"]) for row in rows) >= 0.4


def test_some_candidates_are_for_the_failing_archetype_alone_and_good(rows):
    for_it = [row["card"] for row in rows if row["archetypes"] == FAILING]
    effects = {one.card: one.effect for one in newcomers()}
    others = [effect for card, effect in effects.items() if card not in for_it]

    assert len(for_it) == 6
    assert np.mean([effects[card] for card in for_it]) > np.mean(others) + 0.05


def test_the_records_follow_the_truth_and_not_the_market():
    known = [one for one in newcomers() if one.games]
    shift = [one.wins / one.games - one.baseline for one in known]
    games = [one.games for one in known]

    assert np.corrcoef(shift, [one.effect for one in known])[0, 1] > 0.6
    assert min(games) < 300
    assert max(games) > 4000


def test_guesses_lean_the_right_way():
    effects = {
        guess: np.mean([one.effect for one in newcomers() if one.guess == guess])
        for guess in ("weaker", "stronger")
    }

    assert effects["weaker"] < effects["stronger"]


def test_the_truth_is_told_of_every_candidate_on_the_fairs_scale(rows):
    heading, *truth = candidate_truth(lantern_fair())
    points = [float(value) for _, value in truth]

    assert heading == ("card", "own_effect_points")
    assert [card for card, _ in truth] == [row["card"] for row in rows]
    assert np.sign(points).tolist() == np.sign([one.effect for one in newcomers()]).tolist()
    assert 1 < np.std(points) < 4


def test_the_candidates_are_the_same_at_every_call():
    assert newcomers() == newcomers()


def test_an_archetypes_home_is_its_two_trades():
    assert (home_of(FAILING), home_of(TOO_STRONG)) == ("Petal-Ferry", "Wick-Cog")
