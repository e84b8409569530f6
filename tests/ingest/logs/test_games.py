"""Batches of games."""

import numpy as np
import pytest

from winrate_tools.ingest.logs.games import Cards, Games


def batch(*, full: bool) -> Games:
    numbers = np.arange(3)
    return Games(
        won=numbers == 1,
        archetype=numbers,
        band=numbers + 5,
        deck=Cards(np.array([0, 0, 1, 2, 2]), np.array([7, 8, 7, 9, 9])),
        held=Cards(np.array([0, 2]), np.array([8, 9])) if full else None,
        key=numbers.astype(np.uint64) if full else None,
        run=numbers.astype(np.uint64) if full else None,
        begins=numbers > 0,
    )


def test_some_games_keep_their_own_cards():
    kept = batch(full=True).where(np.array([True, False, True]))

    assert len(kept) == 2
    assert (kept.deck.game.tolist(), kept.deck.card.tolist()) == ([0, 0, 1, 1], [7, 8, 9, 9])
    assert (kept.held.game.tolist(), kept.held.card.tolist()) == ([0, 1], [8, 9])
    assert (kept.archetype.tolist(), kept.band.tolist()) == ([0, 2], [5, 7])
    assert (kept.key.tolist(), kept.run.tolist()) == ([0, 2], [0, 2])
    assert kept.begins.tolist() == [False, True]


@pytest.mark.parametrize("full", [False, True])
def test_all_games_are_the_batch_itself(full):
    games = batch(full=full)

    assert games.where(np.ones(3, dtype=bool)) is games


def test_what_a_log_does_not_tell_stays_untold():
    kept = batch(full=False).where(np.array([False, True, False]))

    assert (kept.held, kept.key, kept.run) == (None, None, None)
    assert kept.won.tolist() == [True]
