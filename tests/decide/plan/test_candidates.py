"""What is believed of cards that the pool has not had yet."""

from dataclasses import replace

import numpy as np
import pytest

from tests.decide.planning import card_verdict, pool_verdict, spread
from winrate_tools.decide.plan.candidates import Usual, believed, candidate_effects, usual_card
from winrate_tools.pools import Candidate, CandidateTable, PoolCard
from winrate_tools.stats.cards.allowance import usual_allowance
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT

USUAL = Usual(centre=-0.02, spread=0.1, share=0.5, slope=0.25)
CARD = PoolCard("Moth", 1)


def recorded(games: int, wins: int, baseline: float = 0.5, **facts: object) -> Candidate:
    return Candidate(CARD, games, wins, baseline, **facts)  # type: ignore[arg-type]


def test_a_record_is_pulled_to_the_usual_card_as_normal_theory_says():
    games, wins, baseline = 2000, 1100, 0.52
    centre, sd = believed(recorded(games, wins, baseline), USUAL)

    information = games * baseline * (1 - baseline) / DEFAULT_DESIGN_EFFECT
    shift = (wins / games - baseline) / (baseline * (1 - baseline))
    own, rest = 0.1**2, 0.1**2 / 0.5 - 0.1**2
    total = own + rest + 1 / information
    assert centre == pytest.approx(-0.02 + own / total * (shift + 0.02))
    assert sd == pytest.approx(np.sqrt(own - own**2 / total))


def test_a_record_counts_as_a_shift_from_where_it_was_made():
    there, here = recorded(4000, 2400, 0.6), recorded(4000, 2000, 0.5)

    assert believed(there, USUAL)[0] == pytest.approx(believed(here, USUAL)[0], abs=1e-3)
    assert believed(recorded(4000, 2400), USUAL)[0] > believed(here, USUAL)[0] + 0.1


def test_endless_games_leave_what_company_hides():
    centre, sd = believed(recorded(10**9, 6 * 10**8), USUAL)

    assert centre == pytest.approx(-0.02 + 0.5 * (0.4 + 0.02), abs=1e-4)
    assert sd == pytest.approx(0.1 * np.sqrt(0.5), rel=1e-3)


@pytest.mark.parametrize(
    ("guess", "centre"), [("weaker", -0.12), ("like", -0.02), ("stronger", 0.08)]
)
def test_a_guess_lies_a_spread_away_and_is_as_unsure_as_the_pool_is_wide(guess, centre):
    assert believed(Candidate(CARD, guess=guess), USUAL) == pytest.approx((centre, 0.1))


def test_a_guess_may_come_with_a_spread_of_win_rates():
    assert believed(Candidate(CARD, guess="like", spread=0.01), USUAL)[1] == 0.04


def test_no_games_are_no_record():
    assert believed(recorded(0, 0, guess="stronger"), USUAL) == pytest.approx((0.08, 0.1))


def test_a_record_beside_a_guess_is_pulled_to_the_guess():
    alone, guessed = recorded(50, 25), recorded(50, 25, guess="stronger")

    assert believed(guessed, USUAL)[0] > believed(alone, USUAL)[0] + 0.05


def verdict():
    effects = [spread(0.04, 0.05), spread(-0.1, 0.05, shift=1)]
    return pool_verdict([card_verdict("Bell"), card_verdict("Vine")], effects)


def test_the_usual_card_is_the_mean_over_cards():
    usual = usual_card(verdict())

    assert usual.centre == pytest.approx(-0.03, abs=1e-6)
    assert usual.spread == pytest.approx(0.02 / 0.25)
    assert usual.share == usual_allowance("held", factions=False, strata=()).share
    assert usual_card(replace(verdict(), measure="deck")).share < usual.share


def test_draws_follow_what_is_believed():
    table = CandidateTable([recorded(900, 500), Candidate(PoolCard("Bee", 2), guess="weaker")])
    found = verdict()
    many = replace(found, beliefs=found.beliefs._replace(draws=np.zeros((40_000, 2)) - 0.03))

    draws = candidate_effects(table, many, np.random.default_rng(1))

    known = np.array([believed(one, usual_card(many)) for one in table.candidates])
    assert draws.shape == (40_000, 2)
    assert draws.mean(axis=0) == pytest.approx(known[:, 0], abs=4 * 0.1 / 200)
    assert draws.std(axis=0) == pytest.approx(known[:, 1], rel=0.02)


def test_no_candidates_have_no_draws():
    draws = candidate_effects(CandidateTable([]), verdict(), np.random.default_rng(1))

    assert draws.shape == (200, 0)
