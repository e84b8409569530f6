"""Cells laid out in blocks."""

import numpy as np
import pytest
from scipy import stats

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed import blocks
from winrate_tools.stats.crossed.blocks import laid_out
from winrate_tools.stats.crossed.cells import Cells

RNG = np.random.default_rng(4)
CARD, GROUP = (axis.ravel() for axis in np.indices((30, 4)))
GAMES = RNG.integers(0, 9, CARD.size).astype(float)
WINS = RNG.binomial(GAMES.astype(int), 0.5).astype(float)
FIXED = np.column_stack([np.ones(CARD.size), RNG.normal(size=CARD.size)])
OFFSET = RNG.normal(size=CARD.size)
CELLS = Cells(WINS, GAMES, CARD, FIXED, GROUP, OFFSET)


def table(layout: blocks.Layout, name: str) -> np.ndarray:
    """Sum a column of all blocks by card and group."""
    sums = np.zeros(layout.shape)
    for block in layout.blocks:
        part = sums[block.cards]
        sums[block.cards] = part + np.bincount(
            block.place, getattr(block, name), part.size
        ).reshape(part.shape)
    return sums


def test_one_block_holds_all_rows_that_were_played_in_order():
    (block,) = laid_out(CELLS).blocks

    played = GAMES > 0
    assert block.cards == slice(0, 30)
    assert block.place.tolist() == (CARD * 4 + GROUP)[played].tolist()
    assert block.offset.tolist() == OFFSET[played].tolist()
    assert block.fixed.T.tolist() == FIXED[played].tolist()
    assert block.losses.tolist() == (GAMES - WINS)[played].tolist()


def test_the_order_of_the_rows_does_not_matter():
    order = RNG.permutation(CARD.size)
    columns = (WINS, GAMES, CARD, FIXED, GROUP, OFFSET)

    (mixed,) = laid_out(Cells(*(column[order] for column in columns))).blocks

    (block,) = laid_out(CELLS).blocks
    assert all(np.array_equal(a, b) for a, b in zip(mixed[1:], block[1:], strict=True))


def test_equal_rows_are_added_up_and_others_are_not():
    card = np.array([1, 0, 1, 1, 1])
    fixed = np.array([[1.0], [1.0], [1.0], [2.0], [1.0]])
    offset = np.array([0.0, 0.0, 0.0, 0.0, 0.5])

    (block,) = laid_out(
        Cells(np.arange(5.0), np.full(5, 5.0), card, fixed, offset=offset)
    ).blocks

    assert sorted(zip(block.place, block.wins, block.games, strict=True)) == [
        (0, 1.0, 5.0),
        (1, 2.0, 10.0),
        (1, 3.0, 5.0),
        (1, 4.0, 5.0),
    ]


def test_equal_rows_are_added_up_where_all_is_in_order_already():
    (block,) = laid_out(
        Cells(np.ones(3), np.full(3, 2.0), np.array([0, 0, 1]), np.ones((3, 1)))
    ).blocks

    assert block.games.tolist() == [4.0, 2.0]


def test_rows_with_equal_marks_but_other_columns_stay_apart(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(blocks, "_mark", lambda rows: np.zeros(len(rows.place)))
    fixed = np.array([[1.0], [2.0]])

    (block,) = laid_out(Cells(np.ones(2), np.ones(2), np.zeros(2, int), fixed)).blocks

    assert block.fixed.tolist() == [[1.0, 2.0]]


@pytest.mark.parametrize("rows", [1, 7, 50])
def test_blocks_hold_whole_cards_and_lose_nothing(rows: int, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(blocks, "ROWS", rows)

    layout = laid_out(CELLS)

    edges = [edge for block in layout.blocks for edge in (block.cards.start, block.cards.stop)]
    assert (edges[0], edges[-1]) == (0, 30)
    assert edges[1:-1:2] == edges[2::2]
    assert np.array_equal(table(layout, "games"), GAMES.reshape(30, 4))
    assert np.array_equal(table(layout, "wins"), WINS.reshape(30, 4))
    assert all(abs(len(block.place) - rows) < 4 for block in layout.blocks[:-1])
    assert len(layout.blocks) > 1


def test_cards_that_were_never_played_have_their_place(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(blocks, "ROWS", 1)
    card = np.array([2, 5, 9])

    layout = laid_out(Cells(np.zeros(3), np.array([1.0, 2.0, 0.0]), card, np.ones((3, 1))))

    assert layout.shape == (10, 1)
    assert [(block.cards.start, block.cards.stop) for block in layout.blocks] == [
        (0, 5),
        (5, 10),
    ]
    assert table(layout, "games")[:, 0].tolist() == [0, 0, 1, 0, 0, 2, 0, 0, 0, 0]


def test_the_gram_weighs_columns_by_games():
    layout = laid_out(CELLS)

    assert layout.gram == pytest.approx(FIXED.T @ (GAMES[:, None] * FIXED))
    assert layout.games == GAMES.sum()


@pytest.mark.parametrize("factor", [1, 100])
def test_the_ways_are_binomial_coefficients(factor: int):
    games, wins = factor * GAMES, factor * WINS

    layout = laid_out(Cells(wins, games, CARD, FIXED, GROUP))

    half = stats.binom.logpmf(wins, games, 0.5).sum() + games.sum() * np.log(2)
    assert layout.log_ways == pytest.approx(half, rel=1e-12)


def test_ways_go_through_fractions_without_a_step():
    def ways(shift: float) -> float:
        return laid_out(Cells(WINS, GAMES + shift, CARD, FIXED, GROUP)).log_ways

    assert ways(1e-7) == pytest.approx(ways(0), abs=1e-4)
    assert ways(0) < ways(0.5) < ways(1)


@pytest.mark.parametrize(
    ("fixed", "message"),
    [
        (np.column_stack([FIXED, GAMES == 0]), "fixed column 2 is 0 in every game"),
        (np.column_stack([FIXED, 3 * FIXED[:, 1] - 2]), "fixed column 2 follows from"),
        (np.column_stack([FIXED[:, 0], FIXED]), "fixed column 1 follows from"),
    ],
)
def test_refuses_columns_that_cannot_be_told_apart(fixed: np.ndarray, message: str):
    with pytest.raises(FitError, match=message):
        laid_out(Cells(WINS, GAMES, CARD, fixed, GROUP))


@pytest.mark.parametrize("seed", range(8))
def test_refuses_a_mix_of_columns_whatever_the_rounding(seed: int):
    columns = np.random.default_rng(seed).normal(size=(CARD.size, 4))
    mix = columns @ [0.1, 0.7, -0.3, 1e3]

    with pytest.raises(FitError, match="fixed column 4 follows from"):
        laid_out(Cells(WINS, GAMES, CARD, np.column_stack([columns, mix]), GROUP))


@pytest.mark.parametrize("rows", [0, 3])
def test_refuses_cells_without_games(rows: int):
    none = np.zeros(rows)

    with pytest.raises(
        FitError, match=r"there must be games to learn from, 1e\+13 at most, got 0"
    ):
        laid_out(Cells(none, none, none.astype(int), np.ones((rows, 1))))


def test_refuses_more_games_than_numbers_can_hold_apart():
    with pytest.raises(FitError, match=r"at most, got 1\.5e\+13"):
        laid_out(Cells(np.zeros(1), np.array([1.5e13]), np.zeros(1, int), np.ones((1, 1))))
