"""What limits the verdicts: what the table lacks, and where it does not fit the model."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.cards.doubts import (
    CLEAR,
    _too_large,
    clash,
    doubts,
    pace_spread,
    usage_is_flat,
)
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.settings import Settings
from winrate_tools.simulate.history import card_table, simulate
from winrate_tools.simulate.world import World
from winrate_tools.stats.cards.contrast import Contrast
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.tables import CardTable


@cache
def unheld() -> Strength:
    table = card_table(simulate(World(drafts=500), seed=2), detail=("archetype",), unheld=True)
    return strength(table)


def plain(slope: float = 0.0, *, cards: int = 100, shift: float = 0.0) -> CardTable:
    """Cards that win more the earlier they are taken; the first one is shifted."""
    rng = np.random.default_rng(1)
    pick = rng.permutation(np.linspace(-1.7, 1.7, cards))
    effect = slope * pick + rng.normal(0, 0.08, cards)
    effect[0] += shift
    games = np.full(cards, 6000)
    names = [f"card {i}" for i in range(cards)]
    return CardTable(names, games, rng.binomial(games, expit(effect)), mean_pick=8 - 3 * pick)


def test_a_card_far_from_the_rest_is_named():
    usual, far = doubts(strength(plain(0.1))), doubts(strength(plain(0.1, shift=0.9)))

    assert usual.far == ()
    assert "far records" not in usual.cautions
    assert far.far == ("card 0",)
    assert "far records" in far.cautions


@pytest.mark.parametrize(
    ("slope", "flat"), [(0.1, False), (0.06, False), (0.0, True), (-0.1, True)]
)
def test_usage_is_flat_where_liked_cards_win_no_more(slope: float, flat: bool):
    fitted = strength(plain(slope))

    assert usage_is_flat(fitted) is flat
    assert ("usage tells little" in doubts(fitted).cautions) is flat


def test_usage_of_too_few_games_to_tell_is_not_called_flat():
    few = plain(0.06)
    few = replace(few, games=np.full(100, 60.0), wins=np.round(few.wins / 100))

    assert not usage_is_flat(strength(few))


def shown(*columns: str, measure: str = "held", **more: object) -> Strength:
    """Estimates for cards whose usage is told in some columns, each its own way."""
    rng, cards = np.random.default_rng(3), 100
    told = {
        "mean_pick": {"mean_pick": rng.uniform(1, 15, cards)},
        "played": {"drafted": np.full(cards, 500), "played": rng.integers(50, 450, cards)},
    }
    names, games = [f"card {i}" for i in range(cards)], np.full(cards, 6000)
    usage = {name: column for key in columns for name, column in told[key].items()}
    table = CardTable(names, games, rng.binomial(games, 0.5), **usage, **more)
    return strength(table, Settings(measure=measure))


def worth(fitted: Strength, *slopes: list[float], weight: list[float]) -> Strength:
    """Let a few draws hold that each column of usage is worth so much."""
    draws = np.zeros(len(fitted.draw_weight))
    draws[: len(weight)] = weight
    expected = fitted.company.copy()
    for draw, slope in enumerate(slopes):
        expected[draw] += 0.4 + fitted.sample.usage.matrix @ slope
    return replace(fitted, draw_weight=draws, expected=expected)


@pytest.mark.parametrize(("slope", "flat"), [(0.0299, True), (0.0301, False)])
@pytest.mark.parametrize("column", ["mean_pick", "played"])
def test_usage_is_flat_below_what_it_is_worth_elsewhere(column: str, slope: float, flat: bool):
    fitted = shown(column)

    assert fitted.sample.usage.columns == (column,)
    assert usage_is_flat(worth(fitted, [slope], weight=[1.0])) is flat


UNHELD = {"unheld_games": [2000] * 100, "unheld_wins": [1000] * 100}


@pytest.mark.parametrize(
    ("column", "measure", "more", "share"),
    [
        ("mean_pick", "opening", {}, 1),
        ("mean_pick", "deck", {}, 0.42),
        ("played", "deck", {}, 0.42),
        ("mean_pick", "held", UNHELD, 6 / 8),
        ("mean_pick", "deck", UNHELD, 4 / 6),
    ],
)
def test_all_games_of_decks_show_less_of_what_usage_is_worth(
    column: str, measure: str, more: dict, share: float
):
    fitted = shown(column, measure=measure, **more)

    assert usage_is_flat(worth(fitted, [0.0299 * share], weight=[1.0]))
    assert not usage_is_flat(worth(fitted, [0.0301 * share], weight=[1.0]))


@pytest.mark.parametrize(
    ("column", "chance", "flat"),
    [
        ("mean_pick", 0.501, True),
        ("mean_pick", 0.499, False),
        ("played", 0.901, True),
        ("played", 0.899, False),
    ],
)
def test_picks_need_less_to_show_it_than_other_usage(column: str, chance: float, flat: bool):
    unsure = worth(shown(column), [0.0], [0.2], weight=[chance, 1 - chance])

    assert usage_is_flat(unsure) is flat


@pytest.mark.parametrize(
    ("early", "played", "flat"),
    [(0.02, 0.02, True), (0.02, 0.14, False), (0.04, -0.04, False), (-0.04, 0.1, True)],
)
def test_picks_are_judged_at_alike_play_unless_usage_clearly_tells_something(
    early: float, played: float, flat: bool
):
    fitted = worth(shown("mean_pick", "played"), [early, played], weight=[1.0])

    assert usage_is_flat(fitted) is flat


def test_usage_is_not_judged_where_there_is_none_or_too_few_cards_to_teach_it():
    assert not usage_is_flat(strength(CardTable(["a", "b"], [90, 90], [40, 50])))
    assert not usage_is_flat(strength(plain(cards=25)))


def test_what_cards_owe_to_their_faction_is_not_put_down_to_usage():
    fitted = strength(plain(0.0))
    shared = 0.08 * fitted.sample.usage.score

    moved = replace(fitted, company=fitted.company + shared, expected=fitted.expected + shared)

    assert usage_is_flat(moved)


def test_flat_usage_does_no_harm_where_skill_bands_are_known():
    flat = plain(0.0)
    bands = CardTable(
        flat.card * 2,
        np.tile(flat.games, 2),
        np.tile(flat.wins, 2),
        mean_pick=np.tile(flat.mean_pick, 2),
        skill_band=["new"] * 100 + ["expert"] * 100,
    )
    fitted = strength(bands)

    assert usage_is_flat(fitted)
    assert "usage tells little" not in doubts(fitted).cautions


def clashing(fitted: Strength, *, beyond: float, card: int) -> Strength:
    contrast = fitted.sample.contrast
    estimate = contrast.estimate.copy()
    estimate[card] += beyond
    sample = fitted.sample._replace(contrast=contrast._replace(estimate=estimate))
    return replace(fitted, sample=sample)


def test_a_card_whose_looks_clash_is_named():
    fitted = unheld()
    by_record, _, variance = fitted.looks()
    card = int(np.nanargmin(np.abs(clash(fitted))))
    beyond = float(5 * np.sqrt(variance + by_record.scale**2)[card])

    found = doubts(clashing(fitted, beyond=beyond, card=card))

    assert not _too_large(clash(clashing(fitted, beyond=beyond, card=card)))

    assert doubts(fitted).clashing == ()
    assert "clashing looks" not in doubts(fitted).cautions
    assert found.clashing == (fitted.sample.totals.card[card],)
    assert "clashing looks" in found.cautions


def test_many_small_clashes_are_noticed_too():
    fitted = unheld()
    by_record, _, variance = fitted.looks()
    spread = 0.8 * np.sqrt(variance + by_record.scale**2) * np.sign(clash(fitted))
    contrast = fitted.sample.contrast
    wider = contrast._replace(estimate=contrast.estimate + spread)

    found = doubts(replace(fitted, sample=fitted.sample._replace(contrast=wider)))

    assert found.clashing == ()
    assert "clashing looks" in found.cautions


def test_looks_are_compared_about_their_own_means():
    fitted = unheld()
    contrast = fitted.sample.contrast
    higher = contrast._replace(estimate=contrast.estimate + 0.7)
    moved = replace(fitted, sample=fitted.sample._replace(contrast=higher))

    assert clash(moved) == pytest.approx(clash(fitted), nan_ok=True)


def test_squares_are_too_large_where_chance_would_make_them_so_in_one_of_a_hundred():
    count = 200
    bar = np.sqrt(1 + CLEAR * np.sqrt(2 / count))

    assert _too_large(np.append(np.full(count, bar + 0.001), np.nan))
    assert not _too_large(np.append(np.full(count, bar - 0.001), np.nan))
    assert not _too_large(np.full(3, np.nan))


@pytest.mark.parametrize(("gap", "spread"), [([0.1] * 4, 0.0), ([-0.2, 0.0, 0.2], 0.1483)])
def test_pace_is_the_spread_of_the_gaps(gap, spread):
    contrast = Contrast(np.zeros(2), np.ones(2), np.array(gap))

    assert pace_spread(contrast) == pytest.approx(spread, abs=1e-4)
    assert pace_spread(None) == 0


def test_archetypes_of_uneven_pace_are_noticed():
    fitted = unheld()
    gap = fitted.sample.contrast.stratum_gap
    tilted = np.where(np.arange(len(gap)) % 2, 0.3, -0.3)
    sample = fitted.sample._replace(
        contrast=fitted.sample.contrast._replace(stratum_gap=tilted)
    )

    assert "uneven pace" not in doubts(fitted).cautions
    assert "uneven pace" in doubts(replace(fitted, sample=sample)).cautions


def test_skill_bands_or_unheld_games_tell_strong_players_from_strong_cards():
    simulation = simulate(World(drafts=100), seed=2)

    def lacks(detail: tuple[str, ...]) -> bool:
        return "no skill bands" in judge(card_table(simulation, detail=detail)).warnings

    assert lacks(())
    assert lacks(("archetype",))
    assert not lacks(("skill_band",))
    assert "no skill bands" not in doubts(unheld()).cautions


@pytest.mark.parametrize(
    ("effect", "caution"), [(1.0, None), (6.0, "records too alike")], ids=str
)
def test_runs_that_are_overstated_are_noticed(effect: float, caution: str | None):
    table = card_table(simulate(World(drafts=500), seed=2), detail=("archetype",))

    found = judge(table, Settings(design_effect=effect)).warnings

    told = {"scattered records", "records too alike"} & set(found)
    assert told == ({caution} if caution else set())


def test_a_judged_pool_names_the_cards_that_stand_out():
    judged = judge(plain(0.1, shift=0.9))

    assert judged.far_cards == ("card 0",)
    assert judged.clashing_cards == ()
    assert "far records" in judged.warnings
