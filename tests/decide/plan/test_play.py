"""What archetypes play, and what a change makes of their decks."""

from dataclasses import replace

import numpy as np
import pytest

from tests.decide.planning import archetype, archetypes, card_verdict, stock
from winrate_tools.decide.archetypes.archetype_counts import COUNTED
from winrate_tools.decide.plan.play import Play, play_of
from winrate_tools.pools import PoolCard

KITES, MOTHS = archetype("Kites", 0.47, games=100), archetype("Moths", 0.53, games=300)
POOL = archetypes(KITES, MOTHS)


def cards(*candidates: PoolCard):
    known = [
        PoolCard("Ash", 2, "Cog"),
        PoolCard("Bee", 1, "Cog"),
        PoolCard("Elm", 1, "Quill"),
        PoolCard("Oil", 1, slot="lantern"),
    ]
    homes = [{"kites": 400}, {"Kites": 200, "Moths": 900}, {"Moths": 1500}, {"Kites": 200}]
    verdicts = [
        card_verdict(card.card, homes=home) for card, home in zip(known, homes, strict=True)
    ]
    new = [None] * len(candidates)
    counts = [2, 1, 1, 1, *[0] * len(candidates)]
    effects = [0.1, 0.0, -0.1, 0.0, *[0.0] * len(candidates)]
    return stock([*known, *candidates], counts, effects, verdicts=[*verdicts, *new])


def test_a_copy_is_counted_as_often_as_its_games_say():
    play = play_of(cards(), POOL)

    assert play.archetype == ("Kites", "Moths")
    assert play.counted.tolist() == [8, 8]
    assert play.held.tolist() == [[2, 2, 0, 2], [0, 3, 5, 0]]
    assert play.share.sum() == 1


def test_games_of_another_count_give_only_shares():
    few = archetypes(archetype("Kites", 0.5, games=9), archetype("Moths", 0.5, games=300))

    play = play_of(cards(), few)

    assert play.counted.tolist() == [COUNTED["held"], 8]
    assert (play.held * [2, 1, 1, 1]).sum(axis=1).tolist() == pytest.approx([9, 8])


def test_games_that_were_worked_out_from_the_cards_tell_no_count():
    worked_out = play_of(cards(), archetypes(KITES, MOTHS, counted=9.0))
    of_decks = play_of(cards(), archetypes(KITES, MOTHS, counted=22.0, measure="deck"))

    assert worked_out.counted.tolist() == [COUNTED["held"]] * 2
    assert of_decks.counted.tolist() == [COUNTED["deck"]] * 2


@pytest.mark.parametrize(
    ("card", "held"),
    [
        (PoolCard("new", 3, "cog"), [2, 1.5]),
        (PoolCard("new", 3, "Cog", archetypes=("MOTHS",)), [0, 1.5]),
        (PoolCard("new", 3, "Ferry"), [4 / 3, 8 / 3]),
        (PoolCard("new", 3), [4 / 3, 8 / 3]),
        (PoolCard("new", 3, "Cog", slot="lantern"), [2, 0]),
        (PoolCard("new", 3, "Cog", slot="bell"), [1.5, 2]),
    ],
)
def test_a_new_card_is_played_as_the_cards_most_like_it(card: PoolCard, held: list[float]):
    play = play_of(cards(card), POOL)

    assert play.held[:, 4].tolist() == pytest.approx(held)


@pytest.mark.parametrize("known", [None, archetypes(archetype("Bells", 0.5))])
def test_without_cards_by_archetype_there_is_nothing_to_say(known):
    play = play_of(cards(), known)

    assert play.archetype == ()
    assert play.held.shape == (0, 4)


TWO = Play(
    ("Kites", "Moths"),
    np.array([[1.0, 1.0, 0.0], [0.0, 2.0, 2.0]]),
    np.array([4.0, 6.0]),
    np.array([0.25, 0.75]),
)
EFFECTS = np.array([[0.1, -0.2, 0.3], [0.0, 0.0, 0.4]])


def test_strengths_are_means_of_the_cards_held_against_all_games():
    copies = np.array([3, 1, 1])

    found = TWO.strengths(copies, EFFECTS)

    kites = 4 * np.array([(3 * 0.1 - 0.2) / 4, 0.0])
    moths = 6 * np.array([(-0.2 + 0.3) / 2, 0.2])
    mean = 0.25 * kites + 0.75 * moths
    assert found == pytest.approx(np.column_stack([kites - mean, moths - mean]))


def test_pulls_are_the_slopes_of_the_cards_part():
    copies, step = np.array([3, 1, 1]), 1e-6

    found = TWO.pulls(copies, EFFECTS[0])

    def part(held: np.ndarray) -> np.ndarray:
        weight = TWO.held * held
        return TWO.counted * (weight @ EFFECTS[0]) / weight.sum(axis=1)

    slopes = [(part(copies + step * one) - part(copies)) / step for one in np.eye(3)]
    assert found == pytest.approx(np.array(slopes).T, abs=1e-5)


def test_an_archetype_that_loses_all_cards_has_no_part():
    assert TWO.strengths(np.array([0, 0, 1]), EFFECTS)[0] == pytest.approx(
        [-0.75 * 6 * 0.3, 0.25 * 6 * 0.3]
    )


def test_a_card_is_at_home_where_it_is_played_as_often_as_in_the_average_game():
    """The average game plays .25 * 2 = .5 of Ash, .75 * 3 = 2.25 (and .5) of Bee."""
    play = replace(play_of(cards(), POOL), share=np.array([0.25, 0.75]))

    assert [play.homes(item) for item in range(4)] == [
        ("Kites",),
        ("Moths",),
        ("Moths",),
        ("Kites",),
    ]


def test_a_card_that_nobody_plays_is_at_home_nowhere():
    nobody = Play(("Kites",), np.zeros((1, 1)), np.ones(1), np.ones(1))

    assert nobody.homes(0) == ()


def test_archetypes_that_many_play_weigh_more_in_the_average_game():
    """The average game plays .1 * 2 + .8 * 3 = 2.6."""
    held, share = np.array([[2.0], [3.0], [0.0]]), np.array([0.1, 0.8, 0.1])

    assert Play(("Kites", "Moths", "Bells"), held, np.ones(3), share).homes(0) == ("Moths",)
