"""The split of a strength into the cards' part and the archetype's own."""

import numpy as np
import pytest

from winrate_tools.errors import CountError
from winrate_tools.stats.archetypes.archetype_parts import MODEL_SD, archetype_parts
from winrate_tools.stats.archetypes.archetypes import archetype_strength

STRENGTH = archetype_strength([[3000], [1000]], [[1500], [560]])
COPIES = np.array([[1.0, 0.0, 2.0], [1.0, 4.0, 0.0]])
DRAWS = np.array([[0.1, -0.2, 0.05], [0.3, -0.1, 0.03], [0.2, 0.0, 0.07]])


def test_the_cards_part_adds_up_what_an_archetype_has_more_of():
    parts = archetype_parts(STRENGTH, COPIES, DRAWS)

    assert parts.cards[0] == pytest.approx((0 - 1) * -0.1 + (2 - 1.5) * 0.05)
    assert parts.cards[1] == pytest.approx((4 - 1) * -0.1 + (0 - 1.5) * 0.05)
    assert STRENGTH.share @ parts.cards == pytest.approx(0)


def test_pulls_add_up_to_the_part():
    parts = archetype_parts(STRENGTH, COPIES, DRAWS)

    assert parts.pull.sum(axis=1) == pytest.approx(parts.cards)
    assert parts.pull[:, 0] == pytest.approx([0, 0])


def test_a_pull_is_as_unsure_as_its_card_times_what_there_is_more_of_it():
    parts = archetype_parts(STRENGTH, COPIES, DRAWS)

    assert parts.pull_sd[1] == pytest.approx([0, 1, 0.5] * DRAWS.std(axis=0) * [0, 3, 3])
    assert parts.pull_sd[0] == pytest.approx(parts.pull_sd[1] / 3)


def test_both_parts_make_the_strength():
    parts = archetype_parts(STRENGTH, COPIES, DRAWS)

    assert parts.cards + parts.own == pytest.approx(STRENGTH.relative.centre)
    assert parts.own_sd == pytest.approx(np.hypot(STRENGTH.relative.scale, parts.cards_sd))


def test_the_doubt_is_that_of_the_joint_draws():
    parts = archetype_parts(STRENGTH, COPIES, DRAWS)

    second = 3 * DRAWS[:, 1] - 1.5 * DRAWS[:, 2]
    assert parts.cards_sd[1] == pytest.approx(np.hypot(second.std(), MODEL_SD))


def test_errors_that_move_together_do_not_average_out():
    rng = np.random.default_rng(1)
    own, together = rng.standard_normal((4000, 50)), rng.standard_normal((4000, 1))
    copies = np.array([np.ones(50), np.zeros(50)])

    apart = archetype_parts(STRENGTH, copies, own)
    joint = archetype_parts(STRENGTH, copies, 0 * own + together)

    assert joint.cards_sd[0] == pytest.approx(np.sqrt(50) * apart.cards_sd[0], rel=0.1)


def test_a_card_is_told_by_how_often_it_is_weak_and_where_it_is_played():
    parts = archetype_parts(STRENGTH, COPIES, DRAWS)

    assert parts.chance_weak == pytest.approx([0, 2 / 3, 0])
    assert parts.is_more.tolist() == [[False, False, True], [False, True, False]]


@pytest.mark.parametrize(
    ("copies", "draws", "message"),
    [
        (COPIES[:1], DRAWS, r"2 archetypes x cards .* got \(1, 3\) and \(3, 3\)"),
        (COPIES[:, :2], DRAWS, r"got \(2, 2\) and \(3, 3\)"),
        (COPIES, DRAWS[0], r"got \(2, 3\) and \(3,\)"),
        (np.vstack([COPIES, COPIES]), DRAWS, r"got \(4, 3\) and \(3, 3\)"),
        (COPIES[:, :, None], DRAWS, r"got \(2, 3, 1\) and \(3, 3\)"),
        (COPIES, DRAWS[None], r"got \(2, 3\) and \(1, 3, 3\)"),
        (-COPIES, DRAWS, "numbers from 0"),
        (COPIES - 0.5, DRAWS, "numbers from 0"),
        (COPIES * np.nan, DRAWS, "numbers from 0"),
    ],
)
def test_what_does_not_fit_together_is_refused(copies, draws, message):
    with pytest.raises(CountError, match=message):
        archetype_parts(STRENGTH, copies, draws)
