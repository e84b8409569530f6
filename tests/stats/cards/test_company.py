"""What the cards of one faction share."""

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.stats.cards.company import USUAL_SD, USUAL_WORTH, company
from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.records.heterogeneity import paule_mandel


def pool(log_odds, games=2000.0) -> Evidence:
    """Cards that win exactly as often as their log-odds say."""
    log_odds = np.asarray(log_odds, dtype=float)
    counts = np.full(len(log_odds), games)
    return Evidence(counts * expit(log_odds), counts, np.zeros(len(log_odds)))


@pytest.mark.parametrize("faction", [None, (None, None), ("Wick", "Wick"), ("Wick", None)])
def test_fewer_than_two_factions_are_none(faction):
    found = company(faction, pool([0.1, -0.1]))

    assert found.names == ()
    assert found.member.shape == (2, 0)
    assert found.sd == USUAL_SD


def test_each_card_is_a_member_of_its_faction_and_an_unknown_one_of_none():
    found = company(("Wick", "Cog", None, "Wick"), pool([0.1, -0.1, 0.0, 0.2]))

    assert found.names == ("Cog", "Wick")
    assert found.member.tolist() == [[0, 1], [1, 0], [0, 0], [0, 1]]


def test_without_games_the_usual_figure_stands():
    found = company(("Wick", "Cog"), pool([0.0, 0.0], games=0.0))

    assert found.sd == USUAL_SD


def test_equal_factions_draw_the_figure_below_the_usual_one():
    found = company(("Wick", "Cog") * 10, pool([0.05, 0.05, -0.05, -0.05] * 5))

    assert found.sd == pytest.approx(USUAL_SD * np.sqrt(USUAL_WORTH / (2 + USUAL_WORTH)))


def test_cards_that_win_as_expected_do_not_differ_wherever_they_were_played():
    offset = np.array([-1.0, 0.8, -0.5, 0.2])
    games = np.full(4, 3000.0)

    found = company(
        ("Wick", "Cog", "Wick", "Cog"), Evidence(games * expit(offset), games, offset)
    )

    assert found.sd == pytest.approx(USUAL_SD * np.sqrt(USUAL_WORTH / (2 + USUAL_WORTH)))


def test_a_strong_common_shift_is_found():
    rng = np.random.default_rng(2)
    shift = np.repeat([-0.4, -0.2, 0.0, 0.2, 0.4, 0.0], 30)
    names = tuple(np.repeat(list("abcdef"), 30))

    found = company(names, pool(shift + rng.normal(0, 0.1, size=180)))

    own = np.var([-0.4, -0.2, 0.0, 0.2, 0.4, 0.0], ddof=1)
    drawn = np.sqrt((6 * own + USUAL_WORTH * USUAL_SD**2) / (6 + USUAL_WORTH))
    assert found.sd == pytest.approx(drawn, rel=0.1)
    assert found.sd > 2 * USUAL_SD


def test_agrees_with_paule_mandel_between_faction_means_of_one_card_each():
    # One card a faction: the first estimate of the spread is the second's to share.
    evidence = pool([-0.5, 0.1, 0.4, 0.0], games=400.0)
    estimate = (evidence.wins - 200) / 100

    found = company(tuple("abcd"), evidence)

    between = paule_mandel(estimate, np.full(4, 0.01)).variance
    own = paule_mandel(estimate, np.full(4, 0.01 + between)).variance
    drawn = (4 * own + USUAL_WORTH * USUAL_SD**2) / (4 + USUAL_WORTH)
    assert found.sd == pytest.approx(np.sqrt(drawn))


def test_cards_of_no_faction_and_of_no_games_change_nothing():
    names, log_odds = ("Wick", "Cog", "Wick", "Cog"), [0.3, -0.2, 0.1, -0.3]
    evidence = pool(log_odds)

    padded = Evidence(
        np.array([*evidence.wins, 1500.0, 0.0]),
        np.array([*evidence.games, 2000.0, 0.0]),
        np.zeros(6),
    )

    assert company((*names, None, "Cog"), padded).sd == pytest.approx(
        company(names, evidence).sd
    )


def test_a_faction_without_games_is_named_and_not_counted():
    evidence = pool([0.3, -0.2, 0.1, -0.3])
    padded = Evidence(
        np.append(evidence.wins, 0.0), np.append(evidence.games, 0.0), np.zeros(5)
    )

    alone = company(("Wick", "Cog", "Wick", "Cog"), evidence)
    found = company(("Wick", "Cog", "Wick", "Cog", "Quill"), padded)

    assert found.names == ("Cog", "Quill", "Wick")
    assert found.sd == pytest.approx(alone.sd)
