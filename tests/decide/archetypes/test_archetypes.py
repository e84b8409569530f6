"""Judging archetypes."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.special import logit

from winrate_tools.decide.archetypes.archetype_counts import CARDS_ERROR
from winrate_tools.decide.archetypes.archetypes import LISTED, call, judge_archetypes
from winrate_tools.errors import FitError, SettingError
from winrate_tools.ingest.tables.archetypes import read_archetypes
from winrate_tools.ingest.tables.cards import read_cards
from winrate_tools.settings import Settings
from winrate_tools.stats.archetypes.archetypes import archetype_strength
from winrate_tools.stats.cards.strength import strength
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.tables import ArchetypeTable, CardTable

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"
NAMES = ["Kites", "Moths", "Bells", "Tides"]
DECKS = ArchetypeTable(
    NAMES, [5000] * 4, [2500, 2750, 2240, 2540], factions=[None, "W", "C", "H"]
)
HELD = np.array([[12, 18, 0, 12], [12, 0, 18, 12], [12, 18, 0, 12], [18, 6, 6, 12]]) * 1000
RATES = np.array([[0.5], [0.55], [0.45], [0.5]])
CARDS = CardTable(
    ["Ash", "Bee", "Elm", "Fig"] * 4,
    HELD.ravel(),
    (HELD * RATES).round().ravel(),
    archetype=[name for name in NAMES for _ in range(4)],
)
LUCK = np.random.default_rng(1).standard_normal((500, 4))
DRAWS = np.array([0.0, -0.05, 0.04, 0.01]) + 0.02 * LUCK


@pytest.mark.parametrize(
    ("below", "above", "sure", "verdict"),
    [
        (0.9, 0.0, 0.9, "underpowered"),
        (0.0, 0.9, 0.9, "overpowered"),
        (0.899, 0.0, 0.9, "unsettled"),
        (0.0, 0.899, 0.9, "unsettled"),
        (0.1, 0.09, 0.9, "balanced"),
        (0.11, 0.1, 0.9, "unsettled"),
        (0.6, 0.0, 0.55, "underpowered"),
        (0.15, 0.0, 0.55, "balanced"),
    ],
)
def test_a_verdict_takes_its_chance(below: float, above: float, sure: float, verdict: str):
    assert call(below, above, sure) == verdict


def test_archetypes_come_weakest_first_with_their_verdicts():
    pool = judge_archetypes(None, DECKS)

    assert [one.archetype for one in pool.archetypes] == ["Bells", "Kites", "Tides", "Moths"]
    assert [one.verdict for one in pool.archetypes] == [
        "underpowered",
        "balanced",
        "balanced",
        "overpowered",
    ]
    assert [one.factions for one in pool.archetypes] == ["C", None, "H", "W"]


def test_the_lines_lie_a_margin_around_the_mean_of_all_games():
    pool = judge_archetypes(None, DECKS, Settings(margin=0.03))
    total = DECKS.wins.sum() / DECKS.games.sum()

    assert pool.mean == pytest.approx(total)
    assert (pool.low_line, pool.high_line) == pytest.approx((total - 0.03, total + 0.03))


@pytest.mark.parametrize("measure", ["held", "deck"])
def test_two_points_are_the_margin_if_nobody_says(measure):
    assert judge_archetypes(None, DECKS, Settings(measure=measure)).margin == 0.02


def test_estimates_and_chances_are_those_of_the_strengths():
    pool = judge_archetypes(None, DECKS)
    found = archetype_strength(
        DECKS.games[:, None], DECKS.wins[:, None], design_effect=DEFAULT_DESIGN_EFFECT
    )
    one = next(one for one in pool.archetypes if one.archetype == "Kites")

    assert logit(one.estimate) - logit(pool.mean) == pytest.approx(found.relative.centre[0])
    below = found.relative.below(logit(pool.low_line) - logit(pool.mean))
    above = 1 - found.relative.below(logit(pool.high_line) - logit(pool.mean))
    assert (one.chance_below, one.chance_above) == pytest.approx((below[0], above[0]))
    assert logit(one.low) - logit(pool.mean) == pytest.approx(found.relative.quantile(0.1)[0])
    assert one.play_share == 0.25


@pytest.mark.parametrize("sure", [0.6, 0.9, 0.99])
@pytest.mark.parametrize("scale", [0.02, 0.2, 1])
def test_a_range_lies_beyond_a_line_exactly_where_the_verdict_says_so(sure, scale):
    small = ArchetypeTable(NAMES, DECKS.games * scale, np.rint(DECKS.wins * scale))
    pool = judge_archetypes(None, small, Settings(sure=sure))

    for one in pool.archetypes:
        assert (one.high <= pool.low_line) == (one.verdict == "underpowered")
        assert (one.low >= pool.high_line) == (one.verdict == "overpowered")
    assert len(pool.archetypes) == 4


def test_only_what_is_unsettled_needs_games():
    small = ArchetypeTable(NAMES, DECKS.games / 50, np.rint(DECKS.wins / 50))
    settled, waiting = judge_archetypes(None, DECKS), judge_archetypes(None, small)

    assert {one.games_needed for one in settled.archetypes} == {0}
    assert {one.verdict for one in waiting.archetypes} == {"unsettled"}
    assert all(one.games_needed > 100 for one in waiting.archetypes)


def test_an_archetype_without_games_is_never_called():
    table = ArchetypeTable(
        [*NAMES[:3], "Tides"], [90_000, 90_000, 90_000, 0], [45_000, 45_100, 44_900, 0]
    )
    pool = judge_archetypes(None, table)
    [tides] = [one for one in pool.archetypes if one.archetype == "Tides"]

    assert tides.chance_between > 0.8
    assert (tides.verdict, tides.win_rate, tides.games) == ("unsettled", None, 0)


def test_without_cards_by_archetype_there_is_no_split():
    for cards in (None, CARDS.totals()):
        pool = judge_archetypes(cards, DECKS)

        assert "no cards" in pool.warnings
        assert {one.cards_part for one in pool.archetypes} == {None}
        assert {(*one.drags, *one.carries) for one in pool.archetypes} == {()}


def test_the_parts_add_up_to_the_distance_from_the_mean():
    pool = judge_archetypes(CARDS, DECKS, own_draws=DRAWS)

    for one in pool.archetypes:
        assert one.cards_part + one.own_part == pytest.approx(one.estimate - pool.mean)
        assert one.cards_low < one.cards_part < one.cards_high
        assert one.own_low < one.own_part < one.own_high
    assert len(pool.archetypes) == 4


def test_the_cards_part_is_that_of_the_cards_it_holds():
    pool = judge_archetypes(CARDS, DECKS, own_draws=DRAWS)
    part = {one.archetype: one.cards_part for one in pool.archetypes}

    effects = DRAWS.mean(axis=0)
    copies = HELD / 5000
    expected = 0.25 * (copies - copies.mean(axis=0)) @ effects
    assert [part[name] for name in NAMES] == pytest.approx(expected, rel=0.02)


def test_cards_are_named_where_there_are_more_of_them_and_they_pull():
    pool = judge_archetypes(CARDS, DECKS, own_draws=DRAWS)
    by_name = {one.archetype: one for one in pool.archetypes}

    assert [card.card for card in by_name["Bells"].drags] == ["Bee"]
    assert by_name["Bells"].carries == ()
    assert [card.card for card in by_name["Moths"].carries] == ["Elm"]
    assert by_name["Bells"].drags[0].pull < 0 < by_name["Moths"].carries[0].pull
    assert by_name["Bells"].drags[0].chance == pytest.approx((DRAWS[:, 1] < 0).mean())
    assert by_name["Moths"].carries[0].chance == pytest.approx((DRAWS[:, 2] >= 0).mean())


def test_what_cards_do_has_ranges_as_wide_as_the_archetypes():
    usual, strict = (
        judge_archetypes(CARDS, DECKS, Settings(sure=sure), own_draws=DRAWS)
        for sure in (0.9, 0.975)
    )
    pulls = [
        card
        for pool in (usual, strict)
        for one in pool.archetypes
        if one.archetype == "Bells"
        for card in one.drags
    ]

    assert [card.card for card in pulls] == ["Bee", "Bee"]
    reach = np.array([card.high - card.pull for card in pulls])
    sd = DRAWS[:, 1].std() / -DRAWS[:, 1].mean()
    assert reach / -pulls[0].pull == pytest.approx([1.2816 * sd, 1.96 * sd], rel=1e-4)
    assert [card.pull - card.low for card in pulls] == pytest.approx(reach)


def test_draws_come_from_the_cards_strengths_if_none_are_given():
    settings = Settings(seed=3)
    own = judge_archetypes(CARDS, DECKS, settings)
    given = strength(CARDS, settings).draws(2000, 3)

    assert own == judge_archetypes(CARDS, DECKS, settings, own_draws=given)
    assert own == judge_archetypes(CARDS, DECKS, settings)


def test_archetypes_are_those_of_the_whole_sample_whoever_the_cards_are_judged_for():
    luck = np.random.default_rng(2).integers(-300, 300, 16)
    wins = CARDS.wins / 2 + np.where(CARDS.games > 0, luck, 0)
    banded = CardTable(
        CARDS.card * 2,
        np.tile(CARDS.games / 2, 2),
        np.concatenate([wins - 200 * (CARDS.games > 0), CARDS.wins - wins]),
        archetype=CARDS.archetype * 2,
        skill_band=["new"] * 16 + ["old"] * 16,
    )
    asked = judge_archetypes(banded, DECKS, Settings(target="new"))

    assert asked == judge_archetypes(banded, DECKS)
    assert strength(banded, Settings(target="new")).draws(5, 1) != pytest.approx(
        strength(banded).draws(5, 1)
    )


def test_cards_games_alone_make_verdicts_with_wider_ranges():
    whole, worked_out = judge_archetypes(None, DECKS), judge_archetypes(CARDS, own_draws=DRAWS)
    width = {one.archetype: one.high - one.low for one in whole.archetypes}

    assert worked_out.counted == 9
    assert "estimated games" in worked_out.warnings
    assert all(one.high - one.low > width[one.archetype] for one in worked_out.archetypes)
    assert sum(one.games for one in worked_out.archetypes) == pytest.approx(
        CARDS.games.sum() / 9, abs=4
    )


def test_games_worked_out_from_cards_never_make_a_strength_exact():
    many = CardTable(CARDS.card, CARDS.games * 1e6, CARDS.wins * 1e6, archetype=CARDS.archetype)
    pool = judge_archetypes(many, own_draws=DRAWS)

    for one in pool.archetypes:
        assert one.high - one.low == pytest.approx(2 * 1.2816 * CARDS_ERROR * 0.25, rel=0.02)
    assert len(pool.archetypes) == 4


def test_archetypes_on_the_mean_are_split_too():
    even = ArchetypeTable(NAMES, [5000] * 4, [2500] * 4)
    pool = judge_archetypes(CARDS, even, own_draws=DRAWS)
    [moths] = [one for one in pool.archetypes if one.archetype == "Moths"]

    expected = 0.25 * (HELD[1] / 5000 - HELD.mean(axis=0) / 5000) @ DRAWS.mean(axis=0)
    assert moths.cards_part == pytest.approx(expected, rel=0.01)
    assert moths.own_part == pytest.approx(-moths.cards_part, abs=1e-9)


def test_an_archetype_whose_cards_are_unknown_moves_no_other():
    more = ArchetypeTable([*NAMES, "Runes"], [*DECKS.games, 5000], [*DECKS.wins, 2507])
    plain = judge_archetypes(CARDS, DECKS, own_draws=DRAWS + 0.05)
    wider = judge_archetypes(CARDS, more, own_draws=DRAWS + 0.05)
    parts = {one.archetype: one.cards_part for one in wider.archetypes}

    assert parts["Runes"] is None
    for one in plain.archetypes:
        assert parts[one.archetype] == pytest.approx(one.cards_part, rel=0.05)
    assert "unmatched" in wider.warnings


def test_skill_bands_and_assumptions_are_stated():
    table = ArchetypeTable(NAMES, DECKS.games, DECKS.wins, skill_band=["new", "old"] * 2)
    pool = judge_archetypes(None, table, Settings(design_effect=2, sure=0.8))

    assert pool.skill_bands == ("new", "old")
    assert (pool.design_effect, pool.sure, pool.balanced) == (2, 0.8, 0.8)
    assert judge_archetypes(None, DECKS).design_effect == DEFAULT_DESIGN_EFFECT


def test_a_design_effect_widens_every_range():
    narrow, wide = (
        judge_archetypes(None, DECKS, Settings(design_effect=effect)) for effect in (1, 3)
    )

    for one, other in zip(narrow.archetypes, wide.archetypes, strict=True):
        assert other.high - other.low > 1.3 * (one.high - one.low)


@pytest.mark.parametrize("wins", [[10, 20, 10, 15], [4990, 4985, 4990, 4980]])
def test_a_margin_without_room_is_refused(wins):
    with pytest.raises(SettingError, match=r"margin must be below 0\.00\d+ from this mean"):
        judge_archetypes(None, ArchetypeTable(NAMES, DECKS.games, wins))


def test_one_archetype_cannot_be_judged():
    with pytest.raises(FitError, match="at least two archetypes"):
        judge_archetypes(None, ArchetypeTable(["Kites"], [50], [20]))


def test_the_cards_named_are_few_and_the_strongest():
    fair = read_cards(SAMPLE / "cards_by_archetype.csv")
    pool = judge_archetypes(fair, read_archetypes(SAMPLE / "archetypes.csv"))

    for one in pool.archetypes:
        pulls = [card.pull for card in one.drags]
        assert len(one.drags) == len(one.carries) == LISTED
        assert pulls == sorted(pulls)
    assert len(pool.archetypes) == 9


@pytest.mark.parametrize("has_decks", [True, False])
def test_at_the_fair_the_failing_and_the_too_strong_archetype_are_found(has_decks: bool):
    fair = read_cards(SAMPLE / "cards_by_archetype.csv")
    decks = read_archetypes(SAMPLE / "archetypes.csv") if has_decks else None
    pool = judge_archetypes(fair, decks)
    called = {
        verdict: [one.archetype for one in pool.archetypes if one.verdict == verdict]
        for verdict in ("underpowered", "overpowered")
    }

    assert called == {
        "underpowered": ["Floating Flowers"],
        "overpowered": ["Smoke & Mirrors"],
    }
    assert pool.skill_bands == ("new", "steady", "expert")


def test_unlabelled_rows_do_not_hide_the_cards():
    labels = [*CARDS.archetype[:-1], None]
    table = CardTable(CARDS.card, CARDS.games, CARDS.wins, archetype=labels)
    pool = judge_archetypes(table, own_draws=DRAWS)

    assert replace(pool, archetypes=()).warnings == ("estimated games", "no skill bands")
    assert len(pool.archetypes) == 4
