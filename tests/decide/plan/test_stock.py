"""The pool, the candidates, and what is believed of both."""

import numpy as np
import pytest

from tests.decide.planning import card_verdict, pool_verdict, spread
from tests.decide.planning import stock as shelf_of
from winrate_tools.decide.plan.stock import stock_of
from winrate_tools.errors import CountError
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable

JUDGED = pool_verdict(
    [card_verdict("Ash Vine"), card_verdict("Tin Moth"), card_verdict("Elm Bell")],
    [spread(-0.1, 0.05), spread(0.1, 0.02, shift=1), spread(0.0, 0.01, shift=2)],
)
NONE = CandidateTable([])


def pool(*cards: tuple[str, int]) -> PoolTable:
    return PoolTable([PoolCard(name, copies) for name, copies in cards])


def test_pool_cards_come_first_with_their_own_draws_whatever_their_case():
    new = CandidateTable([Candidate(PoolCard("Fog Horn", 2), guess="stronger")])

    found = stock_of(JUDGED, pool(("TIN moth", 3), ("Ash Vine", 1)), new)

    assert [card.card for card in found.cards] == ["TIN moth", "Ash Vine", "Fog Horn"]
    assert [one and one.card for one in found.verdicts] == ["Tin Moth", "Ash Vine", None]
    assert found.before.tolist() == [3, 1, 0]
    assert (found.effects[:, :2] == JUDGED.beliefs.draws[:, [1, 0]]).all()
    assert found.effects[:, 2].mean() > 0.05
    assert found.elsewhere == ("Elm Bell",)
    assert found.mean == 0.5


def test_cards_without_copies_are_no_part_of_the_pool():
    found = stock_of(JUDGED, pool(("Ash Vine", 1), ("Tin Moth", 0)), NONE)

    assert [card.card for card in found.cards] == ["Ash Vine"]
    assert "Tin Moth" in found.elsewhere


def test_a_card_that_nobody_knows_is_one_more_of_the_pools_kind():
    found = stock_of(JUDGED, pool(("Ash Vine", 1), ("Silk Kite", 2)), NONE)

    assert found.unknown == ("Silk Kite",)
    assert found.is_unknown.tolist() == [False, True]
    assert found.effects[:, 1].std() == pytest.approx(0.02 / 0.25, rel=0.2)


def test_a_candidate_in_the_pool_only_tells_of_its_card():
    told = CandidateTable([Candidate(PoolCard("silk kite", 1), 90_000, 54_000, 0.5)])

    found = stock_of(JUDGED, pool(("Ash Vine", 1), ("Silk Kite", 2)), told)

    assert len(found.cards) == 2
    assert found.unknown == ()
    assert found.in_pool == ("silk kite",)
    assert found.effects[:, 1].mean() > 0.1


def test_a_misspelt_card_is_asked_about():
    with pytest.raises(CountError, match="not in the table of games: 'Tin Mothh'"):
        stock_of(JUDGED, pool(("Ash Vine", 1), ("Tin Mothh", 1)), NONE)


def test_a_new_card_may_resemble_an_old_one():
    new = CandidateTable([Candidate(PoolCard("Ash Vines", 2), guess="like")])

    assert len(stock_of(JUDGED, pool(("Ash Vine", 1)), new).cards) == 2


def test_tables_of_different_games_are_refused():
    with pytest.raises(CountError, match="no card of the pool is in the table of games"):
        stock_of(JUDGED, pool(("Silk Kite", 1)), NONE)


def test_the_same_seed_gives_the_same_draws():
    new = CandidateTable([Candidate(PoolCard("Fog Horn", 2), guess="like")])
    tables = pool(("Ash Vine", 1), ("Silk Kite", 2)), new

    assert np.array_equal(stock_of(JUDGED, *tables).effects, stock_of(JUDGED, *tables).effects)


def test_a_win_rate_is_an_effect_from_the_average_card():
    found = stock_of(JUDGED, pool(("Ash Vine", 1)), NONE)

    assert found.effect(0.5) == 0
    assert found.effect(0.6) == pytest.approx(np.log(1.5))


def test_labels_are_those_that_cards_of_the_pool_carry():
    cards = [PoolCard("a", 1, "Cog"), PoolCard("new", 1, "Cog", "rare", "tool")]

    assert shelf_of(cards, [1, 0], [0.0] * 2).labels == ("faction",)
    assert shelf_of(cards, [1, 1], [0.0] * 2).labels == ("faction", "rarity", "role")
