"""Whether a card is good in one archetype only."""

import numpy as np
import pytest
from scipy.special import ndtr

from winrate_tools.stats.cards.homes import FAR_HOME, BestHome, Homes, best_home
from winrate_tools.stats.records.heterogeneity import paule_mandel, shrunk

LINE = -0.08
NARROW, GOOD, WEAK, PLAIN = 0, 1, 2, 3
"""Cards of the pool that `pool` makes, with their effects in three archetypes."""


def pool(cards: int = 40, *, games: dict[tuple[int, int], int] | None = None) -> Homes:
    rng = np.random.default_rng(1)
    effect = np.zeros((cards, 3))
    effect[NARROW] = [0.15, -0.2, -0.2]
    effect[GOOD], effect[WEAK] = 0.2, -0.3
    played = np.full((cards, 3), 20_000.0)
    for (card, archetype), count in (games or {}).items():
        played[card, archetype] = count
    information = played / 4
    surprise = information * effect + rng.normal(0, np.sqrt(information))
    return Homes(("Kites", "Toads", "Lamps"), played, surprise, information)


def judged(homes: Homes, sd: float = 0.02) -> tuple[BestHome, np.ndarray]:
    total = homes.information.sum(axis=1)
    effect = np.divide(
        homes.surprise.sum(axis=1), total, out=np.zeros(len(total)), where=total > 0
    )
    return best_home(homes, effect, np.full(len(effect), sd), LINE), effect


def is_narrow(found: BestHome) -> np.ndarray:
    return (found.chance_good >= 0.8) & (found.chance_weak_elsewhere >= 0.5)


def test_a_card_good_in_one_archetype_and_weak_in_the_others_is_found():
    found, _ = judged(pool())

    assert found.place[NARROW] == 0
    assert found.chance_good[NARROW] > 0.95
    assert found.chance_weak_elsewhere[NARROW] > 0.9


def test_a_card_alike_everywhere_is_not_narrow():
    found, _ = judged(pool())

    assert is_narrow(found).nonzero()[0].tolist() == [NARROW]
    assert found.chance_good[GOOD] > 0.95
    assert found.chance_weak_elsewhere[GOOD] < 0.01
    assert found.chance_good[WEAK] < 0.01
    assert found.chance_weak_elsewhere[WEAK] > 0.95


def test_chances_are_those_of_the_shrunk_differences():
    homes = pool(30)
    found, effect = judged(homes)

    total = homes.information.sum(axis=1, keepdims=True)
    raw = homes.surprise / homes.information - homes.surprise.sum(axis=1, keepdims=True) / total
    variance = 1 / homes.information - 1 / total
    spread = paule_mandel(raw.ravel(), variance.ravel()).variance
    drawn = shrunk(raw, variance, spread, far=FAR_HOME)
    here = drawn.mean.max(axis=1)
    wide = np.sqrt(0.02**2 + drawn.variance[np.arange(30), drawn.mean.argmax(axis=1)])
    assert found.place.tolist() == raw.argmax(axis=1).tolist()
    assert found.chance_good == pytest.approx(ndtr((effect + here) / wide))
    # Two other homes as large: what one gains, they lose by half.
    assert found.chance_weak_elsewhere == pytest.approx(ndtr((LINE - effect + here / 2) / wide))


def test_a_few_games_make_no_home():
    # In the Kites the narrow card has one game in a hundred of its own.
    found, _ = judged(pool(games={(NARROW, 0): 400}))

    assert found.place[NARROW] != 0
    assert not is_narrow(found)[NARROW]


def test_a_card_of_one_home_is_not_narrow():
    found, _ = judged(pool(games={(NARROW, 1): 0, (NARROW, 2): 0}))

    assert (found.chance_good[NARROW], found.chance_weak_elsewhere[NARROW]) == (0, 0)


def test_a_card_without_games_is_not_narrow():
    found, _ = judged(pool(games={(PLAIN, 0): 0, (PLAIN, 1): 0, (PLAIN, 2): 0}))

    assert (found.chance_good[PLAIN], found.chance_weak_elsewhere[PLAIN]) == (0, 0)


def test_where_archetypes_make_no_difference_no_card_is_narrow():
    # Less scattered than chance would have it, and on average just below the line.
    surprise = -12.0 + 1.0 * np.resize([1.0, -1.0], (40, 3))
    homes = Homes(("a", "b", "c"), np.full((40, 3), 600.0), surprise, np.full((40, 3), 150.0))

    found, _ = judged(homes)

    assert not is_narrow(found).any()


@pytest.mark.parametrize(("cards", "some"), [(6, False), (7, True)])
def test_a_small_pool_teaches_nothing_about_homes(cards: int, some: bool):
    found, _ = judged(pool(cards))

    assert found.chance_good.any() == some


def test_games_without_a_label_are_nobodys_best_home():
    homes = pool()
    found, _ = judged(homes._replace(names=(None, "Toads", "Lamps")))

    assert found.place[NARROW] != 0
    assert not is_narrow(found)[NARROW]
