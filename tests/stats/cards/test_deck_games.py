"""Games gone through in chunks, against the whole design written out."""

import numpy as np
import pytest
from scipy.optimize import approx_fprime
from scipy.special import log_expit

from winrate_tools.errors import CountError
from winrate_tools.stats.cards import deck_games
from winrate_tools.stats.cards.deck_games import DeckGames

CARDS, GROUPS, GAMES = 6, 3, 50
COLUMNS = CARDS + 2 * GROUPS + 2


def drawn(seed: int = 1):
    rng = np.random.default_rng(seed)
    decks = rng.integers(-1, CARDS, (GAMES, 4)).astype(np.int16)
    group, skill = rng.integers(0, GROUPS, GAMES), rng.normal(size=(GAMES, 1))
    group[0] = GROUPS - 1
    length = rng.normal(size=GAMES)
    return rng.random(GAMES) < 0.6, decks, CARDS, group, length, skill


def design_of(decks, group, length, skill):
    copies = (decks[:, :, None] == np.arange(CARDS)).sum(axis=1)
    groups = group[:, None] == np.arange(GROUPS)
    slopes = groups * length[:, None]
    return np.column_stack([copies, groups, slopes, np.ones(len(decks)), skill])


def effects_of(seed: int = 2):
    return 0.4 * np.random.default_rng(seed).normal(size=COLUMNS)


@pytest.fixture(params=[7, 25, 1000])
def chunk(request, monkeypatch):
    monkeypatch.setattr(deck_games, "CHUNK", request.param)


@pytest.mark.usefixtures("chunk")
def test_height_and_slope_are_those_of_the_design_written_out():
    won, decks, _, group, length, skill = drawn()
    games, effects = DeckGames(*drawn()), effects_of()
    design = design_of(decks, group, length, skill)
    height, slope = games.height(effects)
    odds = design @ effects

    assert (games.parts, games.columns, len(games)) == (
        (CARDS, GROUPS, GROUPS, 2),
        COLUMNS,
        GAMES,
    )
    assert height == pytest.approx(log_expit(np.where(won, odds, -odds)).sum(), rel=1e-12)
    assert slope == pytest.approx(design.T @ (won - 1 / (1 + np.exp(-odds))), rel=1e-10)


@pytest.mark.usefixtures("chunk")
def test_curvature_is_that_of_the_design_written_out():
    _, decks, _, group, length, skill = drawn()
    games, effects = DeckGames(*drawn()), effects_of()
    design = design_of(decks, group, length, skill)
    chance = 1 / (1 + np.exp(-design @ effects))
    weighted = design * (chance * (1 - chance))[:, None]

    assert games.curvature(effects) == pytest.approx(weighted.T @ design, rel=1e-5, abs=1e-5)


def test_the_slope_is_the_derivative_of_the_height():
    games, effects = DeckGames(*drawn()), effects_of()
    found = approx_fprime(effects, lambda x: games.height(x)[0], 1e-6)

    assert games.height(effects)[1] == pytest.approx(found, abs=1e-4)


@pytest.mark.usefixtures("chunk")
def test_every_third_game_stands_for_three():
    won, decks, cards, group, length, skill = drawn()
    group[-1] = group[0]
    given = won, decks, group, length, skill
    some_won, some_decks, *some_rest = (column[::3] for column in given)
    some = DeckGames(some_won, some_decks, cards, *some_rest)
    games, effects = DeckGames(won, decks, cards, group, length, skill), effects_of()
    height, slope = games.height(effects, 3)

    assert height == pytest.approx(3 * some.height(effects)[0])
    assert slope == pytest.approx(3 * some.height(effects)[1])
    assert games.curvature(effects, 3) == pytest.approx(3 * some.curvature(effects), rel=1e-6)


@pytest.mark.parametrize("far", [800.0, -800.0])
def test_games_that_are_as_good_as_won_or_lost_stay_finite(far):
    games = DeckGames([True, False], [[0], [1]], 2)
    height, slope = games.height(np.array([0.0, 0.0, far]))

    assert height == pytest.approx(-abs(far))
    assert np.isfinite(slope).all()
    assert np.isfinite(games.curvature(np.array([0.0, 0.0, far]))).all()


def test_decks_and_outcomes_are_left_as_they_are():
    given = drawn()
    games = DeckGames(*given)
    games.height(effects_of())
    games.curvature(effects_of())

    pairs = zip(given, drawn(), strict=True)
    assert all(np.array_equal(one, other) for one, other in pairs)


def test_small_codes_are_worked_without_being_widened():
    small = np.array([[0, 126], [5, -1]], dtype=np.int8)
    games = DeckGames([True, False], small, 127, group=np.array([0, 1], dtype=np.int8))
    wide = DeckGames([True, False], small.astype(int), 127, group=[0, 1])
    effects = np.arange(130) / 130

    assert games.height(effects)[1] == pytest.approx(wide.height(effects)[1])


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"won": [], "decks": np.empty((0, 2))}, "at least one game"),
        ({"won": [1, 0, 1]}, "a row for each of the 3 games"),
        ({"decks": [0, 1]}, "a row for each of the 2 games"),
        ({"group": [0]}, "a row for each"),
        ({"fixed": [[1.0]]}, "a row for each"),
        ({"fixed": [1.0, 2.0]}, "a row for each"),
        ({"decks": [[0, 5], [1, 1]]}, "codes from -1 to 4"),
        ({"decks": [[0, -2], [1, 1]]}, "codes from -1 to 4"),
        ({"group": [0, -1]}, "group must hold codes from 0"),
        ({"fixed": [[np.nan], [1]]}, "must be known numbers"),
        ({"group": [0, 1], "slope": [np.nan, 1]}, "must be known numbers"),
        ({"group": [0, 1], "slope": [1]}, "a row for each"),
        ({"slope": [0, 1]}, "slopes by group need groups"),
    ],
)
def test_columns_that_do_not_fit_together_are_refused(options, words):
    given = {"won": [1, 0], "decks": [[0, 1], [2, -1]], "cards": 5} | options

    with pytest.raises(CountError, match=words):
        DeckGames(**given)
