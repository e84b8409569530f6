"""What becomes of strangers' word on cards once a table has listed what its decks held."""

import numpy as np
import pytest

from tests.decide.home_tables import CARDS, POOL, home, match
from winrate_tools.decide.home.home_cards import home_cards

BEST = POOL.cards[-1].card
WORST = POOL.cards[0].card


def listing(first, second, won, lost, count):
    """Matches in half of which one card is held, and in half the other."""
    return [
        match("Ada", "Bo", *score, "Kites", "Moths", night=n, cards=(card,))
        for n in range(count)
        for card, score in ((first, (won, lost)), (second, (lost, won)))
    ]


def test_cards_are_told_with_their_games_and_strangers_word():
    found = home_cards(POOL, home(listing(BEST, WORST.upper(), 2, 1, 4)))

    by_name = {card.card: card for card in found.cards}
    assert set(by_name) == {BEST, WORST}
    assert by_name[BEST].games == 12
    before = POOL.cards[-1]
    assert by_name[BEST].before == before.estimate
    assert by_name[BEST].before_verdict == before.verdict
    assert (by_name[BEST].before_low, by_name[BEST].before_high) == (before.low, before.high)


@pytest.mark.parametrize(("won", "lost", "sign"), [(8, 2, 1), (2, 8, -1)])
def test_a_card_moves_with_what_it_wins(won, lost, sign):
    found = home_cards(POOL, home(listing(BEST, WORST, won, lost, 6)))

    moved = {card.card: card.estimate - card.before for card in found.cards}
    assert sign * moved[BEST] > 0 > sign * moved[WORST]


def test_the_card_that_moved_most_comes_first():
    matches = [*listing(BEST, WORST, 9, 1, 6), *listing(POOL.cards[9].card, "card 3", 5, 5, 2)]

    found = home_cards(POOL, home(matches))

    moves = [abs(card.estimate - card.before) for card in found.cards]
    assert len(moves) == 4
    assert moves == sorted(moves, reverse=True)


def test_carrying_a_card_here_opens_its_verdict_and_games_settle_it():
    found = home_cards(POOL, home(listing(WORST, BEST, 1, 19, 12)))

    worst = next(card for card in found.cards if card.card == WORST)
    assert worst.chance_below > worst.start_chance
    assert worst.chance_below > 0.9
    assert worst.verdict == "cut"
    assert worst.low < worst.estimate < worst.high < POOL.line


def test_an_opponents_cards_count_too():
    mine = home_cards(POOL, home(listing(BEST, WORST, 8, 2, 6)))
    turned = [one.seen_by_opponent() for one in listing(BEST, WORST, 8, 2, 6)]

    theirs = home_cards(POOL, home(turned))

    assert [card.card for card in theirs.cards] == [card.card for card in mine.cards]
    assert theirs.cards[0].estimate == pytest.approx(mine.cards[0].estimate, abs=1e-6)


def test_cards_that_strangers_never_met_are_named_and_left_out():
    found = home_cards(POOL, home([match("Ada", "Bo", 2, 1, "Kites", cards=("Gong", BEST))]))

    assert found.unknown == ("Gong",)
    assert [card.card for card in found.cards] == [BEST]


def test_matches_without_cards_tell_of_none():
    found = home_cards(POOL, home([match("Ada", "Bo", 2, 1, "Kites")]))

    assert (found.cards, found.unknown, found.usual.is_learnt) == ((), (), False)


def test_how_far_cards_differ_is_learnt_where_many_cards_have_many_games():
    rng = np.random.default_rng(1)
    effect = rng.normal(0, 0.35, len(CARDS))
    matches = []
    for n in range(300):
        held = rng.choice(len(CARDS), 6, replace=False)
        won = int(rng.binomial(80, 1 / (1 + np.exp(-effect[held].sum()))))
        cards = tuple(CARDS[card] for card in held)
        matches.append(
            match("Ada", "Bo", won, 80 - won, "Kites", "Moths", night=n, cards=cards)
        )

    found = home_cards(POOL, home(matches))

    assert found.usual.is_learnt
    assert found.usual.usual > 0.2


def test_a_card_gets_less_of_the_credit_in_a_crowd():
    def moved(size):
        halves = (CARDS[:size], CARDS[20 : 20 + size])
        matches = [
            match("Ada", "Bo", *score, "Kites", "Moths", night=n, cards=half)
            for n in range(6)
            for half, score in zip(halves, ((13, 7), (7, 13)), strict=True)
        ]
        cards = {card.card: card for card in home_cards(POOL, home(matches)).cards}
        return cards[CARDS[0]].estimate - cards[CARDS[0]].before

    assert 0 < moved(20) < 0.5 * moved(1)
