"""From estimates to verdicts."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.outlook import standing
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import FitError, SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.stats.planning.settling import (
    Standing,
    chance_to_settle,
    games_that_do_most,
    games_to_settle,
    record_look,
)
from winrate_tools.tables import CardTable

AS_RECORDED = Settings(allowance=1.0, design_effect=1.0)


def table(games, wins, **columns) -> CardTable:
    return CardTable([f"card {i}" for i in range(len(games))], games, wins, **columns)


def pool(cards: int = 50, *, seed: int = 1, **columns) -> CardTable:
    rng = np.random.default_rng(seed)
    games = np.exp(rng.normal(6.5, 1, size=cards)).round() + 1
    wins = rng.binomial(games.astype(int), expit(0.1 + rng.normal(0, 0.25, size=cards)))
    return table(games, wins, **columns)


def named(judged: PoolVerdict, name: str) -> CardVerdict:
    (card,) = [card for card in judged.cards if card.card == name]
    return card


@pytest.mark.parametrize("sure", [0.55, 0.8, 0.9, 0.97])
@pytest.mark.parametrize("seed", [1, 2])
def test_a_range_touches_the_line_exactly_where_more_games_are_asked_for(sure, seed):
    judged = judge(pool(seed=seed), Settings(sure=sure, allowance=0.8))

    verdicts = [card.verdict for card in judged.cards]
    sides = [
        "cut"
        if card.high <= judged.line
        else "keep"
        if card.low >= judged.line
        else "more games"
        for card in judged.cards
    ]
    assert verdicts == sides
    assert set(verdicts) == {"cut", "keep", "more games"} or sure == 0.97


def test_a_clear_pool_gets_clear_verdicts():
    games, wins = [4000] * 12, [1600] * 2 + [2100] * 9 + [2000]

    judged = judge(table(games, wins), AS_RECORDED)

    verdicts = {card.card: card.verdict for card in judged.cards}
    assert [card.card for card in judged.cards if card.verdict == "cut"] == ["card 0", "card 1"]
    assert verdicts["card 5"] == "keep"


def test_the_line_lies_a_margin_below_the_baseline():
    judged = judge(pool(), Settings(baseline=0.55, margin=0.03))

    assert (judged.baseline, judged.margin) == (0.55, 0.03)
    assert judged.line == pytest.approx(0.52)
    assert judged.baseline_origin == "given"


@pytest.mark.parametrize(
    ("measure", "margin"), [("held", 0.02), ("opening", 0.02), ("deck", 0.01)]
)
def test_the_usual_margin_is_that_of_the_measure(measure, margin):
    judged = judge(pool(), Settings(measure=measure))

    assert (judged.margin, judged.measure) == (margin, measure)
    assert judged.line == pytest.approx(judged.sample_mean - margin)
    assert judged.baseline_origin == "sample"


def test_a_baseline_of_another_sample_moves_the_line_and_not_the_estimates():
    # Half of everything is won here; a baseline of 55 % would make almost every card weak.
    cards = table([900] * 20, [450] * 20)

    own, borrowed = judge(cards), judge(cards, Settings(baseline=0.55))

    assert [card.estimate for card in own.cards] == [card.estimate for card in borrowed.cards]
    assert own.sample_mean == borrowed.sample_mean == 0.5
    assert borrowed.line - own.line == pytest.approx(0.05)
    assert {card.verdict for card in own.cards} == {"keep"}
    assert {card.verdict for card in borrowed.cards} == {"cut"}
    assert "baseline too high" in borrowed.warnings


def test_weak_cards_are_found_against_the_samples_own_mean_and_not_against_a_half():
    # In this sample an average card wins 55 %, and a fifth of the cards 50 %.
    rng = np.random.default_rng(12)
    rates = np.where(np.arange(100) < 20, 0.5, 0.5625)
    cards = table([6000] * 100, rng.binomial(6000, rates))

    own, half = judge(cards, AS_RECORDED), judge(cards, replace(AS_RECORDED, baseline=0.5))

    weak = {f"card {i}" for i in range(20)}
    assert own.sample_mean == pytest.approx(0.55, abs=0.003)
    assert {card.card for card in own.cards if card.verdict == "cut"} == weak
    assert {card.verdict for card in half.cards} == {"keep"}


def two_bands(cards: int = 40) -> CardTable:
    """New players win 45 % and experts 60 %; a tenth of the cards lose eight points more."""
    rng = np.random.default_rng(1)
    own = np.where(np.arange(cards) < cards // 10, -0.08, 0.0)
    wins = [rng.binomial(9000, level + own) for level in (0.45, 0.6)]
    names = [f"card {i}" for i in range(cards)]
    bands = ["new"] * cards + ["expert"] * cards
    return CardTable(names * 2, [9000] * 2 * cards, np.concatenate(wins), skill_band=bands)


@pytest.mark.parametrize(
    ("target", "baseline", "origin"),
    [
        ("sample", 0.517, "sample"),
        ("even", 0.5, "target"),
        ("new", 0.442, "target"),
        ("expert", 0.592, "target"),
        ("new:3, expert:1", (3 * 0.442 + 0.592) / 4, "target"),
    ],
)
def test_baseline_line_and_estimates_move_to_the_players_asked_for(target, baseline, origin):
    judged = judge(two_bands(), Settings(target=target))

    assert (judged.target, judged.baseline_origin) == (target, origin)
    assert judged.baseline == pytest.approx(baseline, abs=0.003)
    assert judged.line == pytest.approx(judged.baseline - 0.02)
    assert judged.sample_mean == pytest.approx(0.517, abs=0.003)
    assert np.mean([card.estimate for card in judged.cards]) == pytest.approx(
        judged.baseline, abs=0.002
    )
    weakest = {card.card for card in judged.cards[:4]}
    assert weakest == {"card 0", "card 1", "card 2", "card 3"}
    assert not {"baseline too low", "baseline too high"} & set(judged.warnings)


def test_strata_and_bands_are_said():
    judged = judge(two_bands())

    assert (judged.strata, judged.bands) == (("skill_band",), ("new", "expert"))
    assert not judged.is_learnt


def test_factions_that_a_small_pool_cannot_set_apart_are_not_said_to_be():
    small, large = (
        judge(pool(cards, faction=["Cog", "Wick"] * (cards // 2))) for cards in (28, 30)
    )

    assert (small.factions, large.factions) == ((), ("Cog", "Wick"))


def test_an_average_card_that_only_experts_hold_is_kept_and_a_weak_one_cut():
    rng = np.random.default_rng(1)
    rows = [("average", 6000, 3600, "expert"), ("weak", 6000, 3120, "expert")]
    for band, level in (("new", 0.45), ("expert", 0.6)):
        wins = rng.binomial(3000, level + np.linspace(-0.02, 0.02, 38))
        rows += [(f"card {i}", 3000, won, band) for i, won in enumerate(wins)]
    card, games, wins, bands = zip(*rows, strict=True)

    judged = judge(CardTable(card, games, wins, skill_band=bands))

    average, weak = named(judged, "average"), named(judged, "weak")
    assert average.win_rate > judged.baseline + 0.06
    assert average.estimate == pytest.approx(judged.baseline, abs=0.01)
    assert (average.verdict, average.reasons) == ("keep", ())
    assert weak.win_rate > judged.line
    assert (weak.verdict, weak.reasons) == ("cut", ("weak",))


def test_a_margin_must_leave_room_below_the_baseline():
    with pytest.raises(SettingError, match=r"below the baseline \(0.1000\), got 0.2"):
        judge(pool(), Settings(baseline=0.1, margin=0.2))


def test_an_empty_table_cannot_be_judged():
    with pytest.raises(FitError):
        judge(table([0, 0], [0, 0]))


def test_cards_come_from_the_weakest_estimate_up():
    estimates = [card.estimate for card in judge(pool()).cards]

    assert estimates == sorted(estimates)
    assert len(set(estimates)) == 50


def test_every_number_of_a_card_is_that_of_the_estimate():
    cards, settings = pool(), Settings(sure=0.85)
    fitted = strength(cards, settings)
    own = fitted.own()
    order = np.argsort(own.centre)

    judged = judge(cards, settings)

    def column(name: str) -> list:
        return [getattr(card, name) for card in judged.cards]

    line = fitted.effect(judged.line)
    assert column("card") == [cards.card[i] for i in order]
    assert column("games") == cards.games[order].tolist()
    assert column("wins") == cards.wins[order].tolist()
    assert column("win_rate") == pytest.approx((cards.wins / cards.games)[order])
    assert column("estimate") == pytest.approx(fitted.rate(own.centre)[order])
    assert column("low") == pytest.approx(fitted.rate(own.quantile(0.15))[order])
    assert column("high") == pytest.approx(fitted.rate(own.quantile(0.85))[order])
    assert column("chance_below") == pytest.approx(own.below(float(line))[order])
    assert column("usage") == pytest.approx(fitted.sample.usage.score[order])


def test_ranks_follow_the_estimates_and_hold_the_shortlist():
    judged = judge(pool(), Settings(shortlist=5))

    chances = [card.chance_worst for card in judged.cards]
    assert sum(chances) == pytest.approx(5)
    assert judged.shortlist == 5
    assert np.corrcoef(chances, range(50))[0, 1] < -0.5
    assert all(1 <= card.rank_low <= card.rank_high <= 50 for card in judged.cards)
    assert judged.cards[0].rank_low == 1
    assert judged.cards[-1].rank_high == 50


def test_labels_come_along_and_unknown_ones_stay_unknown():
    cards = table(
        [4000, 4000], [1600, 2400], faction=["Cog", None], rarity=["common", "rare"], role=None
    )

    weak, sound = judge(cards).cards

    assert (weak.faction, weak.rarity, weak.role) == ("Cog", "common", None)
    assert (sound.faction, sound.rarity, sound.role) == (None, "rare", None)


def test_rows_of_one_card_are_added_up():
    split = CardTable(["Ash Vine", "Tin Moth"] * 2, [900, 800, 100, 200], [450, 420, 60, 70])
    whole = CardTable(["Ash Vine", "Tin Moth"], [1000, 1000], [510, 490])

    assert judge(split) == judge(whole)


def test_cards_without_games_wait_and_are_never_cut():
    # All others are weak, and so is the guess for a card that nobody has played.
    cards = table([900] * 12 + [0, np.nan], [300] * 12 + [0, np.nan])

    judged = judge(cards, replace(AS_RECORDED, baseline=0.5))

    unplayed, unknown = named(judged, "card 12"), named(judged, "card 13")
    assert {card.verdict for card in judged.cards[2:]} >= {"cut"}
    assert unplayed.verdict == unknown.verdict == "more games"
    assert unplayed.chance_below > 0.9
    assert (unplayed.games, unplayed.wins, unplayed.win_rate) == (0, 0, None)
    assert (unknown.games, unknown.wins, unknown.win_rate) == (None, None, None)
    assert unplayed.flips_at is None
    assert judged.expected_wrong == pytest.approx(
        sum(1 - card.chance_below for card in judged.cards if card.verdict == "cut")
    )


def test_a_card_without_games_flips_nowhere():
    # The smaller the allowance, the surer that a card is like the others, all below the line.
    wins = 423 + np.linspace(-25, 25, 12).round()
    cards = table([900] * 12 + [0], [*wins, 0])

    unplayed = named(judge(cards, replace(AS_RECORDED, baseline=0.5)), "card 12")

    assert unplayed.chance_below < 0.9
    assert unplayed.flips_at is None


def test_usage_is_unknown_where_the_table_does_not_say():
    cards = pool()
    padded = table([*cards.games, 0], [*cards.wins, 0])

    judged = judge(padded)

    assert named(judged, "card 50").usage is None
    assert named(judged, "card 0").usage is not None


def test_expected_wrong_adds_up_what_the_cuts_leave_in_doubt():
    judged = judge(pool(80), replace(AS_RECORDED, sure=0.7))
    cuts = [card for card in judged.cards if card.verdict == "cut"]

    assert len(cuts) > 3
    assert judged.expected_wrong == pytest.approx(sum(1 - card.chance_below for card in cuts))
    assert judged.expected_wrong < 0.3 * len(cuts)


def test_settled_cards_need_no_games_and_the_open_ones_need_some():
    judged = judge(pool(), AS_RECORDED)

    settled = [card for card in judged.cards if card.verdict != "more games"]
    waiting = [card for card in judged.cards if card.verdict == "more games"]
    assert settled
    assert waiting
    assert {card.games_needed for card in settled} == {0}
    assert all(card.games_needed >= 1 for card in waiting)
    assert {card.reasons[-1] for card in waiting} <= {"few games", "on the line"}


def test_games_that_cannot_settle_are_not_asked_for():
    # A tenth of a record is the card's own: its games will never tell where in it.
    judged = judge(pool(), Settings(allowance=0.1, margin=0.0))

    stuck = [card for card in judged.cards if card.verdict == "more games"]
    never = [card for card in stuck if card.games_needed is None]
    assert len(never) > 10
    assert {card.reasons[-1] for card in never} == {"on the line", "hidden company"}


@cache
def at(allowance: float) -> PoolVerdict:
    return judge(pool(35), Settings(allowance=allowance, design_effect=1.0))


@pytest.mark.parametrize("allowance", [0.35, 0.6, 1.0])
def test_at_the_allowance_named_the_verdict_really_flips(allowance: float):
    flipping = [card for card in at(allowance).cards if card.flips_at is not None]

    # Fitted anew there, the verdict is another; one step nearer, it is not.
    assert flipping
    for card in flipping:
        nearer = round(card.flips_at - 0.05 * np.sign(card.flips_at - allowance), 2)
        there, before = (named(at(share), card.card) for share in (card.flips_at, nearer))
        assert (card.verdict == "cut") != (there.verdict == "cut")
        assert (card.verdict == "cut") == (before.verdict == "cut")


def test_a_verdict_that_no_allowance_changes_flips_nowhere():
    judged = judge(table([4000] * 12, [*[2100] * 11, 2500]), AS_RECORDED)

    assert named(judged, "card 11").flips_at is None


def test_the_spread_is_that_of_the_win_rates():
    rates = np.linspace(0.44, 0.56, 25)

    judged = judge(table([10**8] * 25, (1e8 * rates).round()), AS_RECORDED)

    assert judged.spread == pytest.approx(rates.std(), rel=0.01)
    assert judged.real_share == pytest.approx(1, abs=1e-3)


def test_chance_and_company_take_their_part_of_the_spread():
    rates = np.linspace(0.44, 0.56, 25)

    few, many = (
        judge(table([games] * 25, (games * rates).round()), AS_RECORDED)
        for games in (500, 50_000)
    )
    half = judge(table([50_000] * 25, (50_000 * rates).round()), Settings(allowance=0.5))

    own = (few.spread / 0.25) ** 2
    assert few.real_share == pytest.approx(own / (own + 4 / 500))
    assert few.real_share < 0.8 < many.real_share
    # Of what records differ by beyond the chance of a coin, company has its part.
    own, all_of_it = (half.spread / 0.25) ** 2, rates.var() / 0.25**2
    assert half.real_share == pytest.approx(own / all_of_it, rel=0.01)
    assert half.real_share < 0.5
    assert half.spread < 0.8 * many.spread


def test_assumptions_and_seed_are_said():
    judged = judge(pool(), Settings(allowance=0.7, design_effect=1.5, seed=9, sure=0.8))

    assert judged.allowance == pytest.approx(0.7)
    assert (judged.design_effect, judged.seed, judged.sure) == (1.5, 9, 0.8)
    assert judged.usage_columns == ("games",)
    assert judged.factions == ()


USUAL = {"faction": ["Cog", "Wick"] * 25}


@pytest.mark.parametrize(
    ("cards", "settings", "cautions"),
    [
        (pool(**USUAL), Settings(), ("no skill bands",)),
        (pool(), Settings(), ("no factions", "no skill bands")),
        (pool(**USUAL), Settings(baseline=0.4), ("baseline too low", "no skill bands")),
        (pool(**USUAL), Settings(baseline=0.6), ("baseline too high", "no skill bands")),
        (
            table([100] * 40, [50] * 40, faction=["Cog", "Wick"] * 20),
            Settings(),
            ("no usage", "no skill bands"),
        ),
        (
            table([100] * 9 + [0], [50] * 9 + [0]),
            Settings(),
            ("few cards", "no usage", "no factions", "no skill bands"),
        ),
        (
            table([100] * 29, [50] * 29, faction=["Cog", *["Wick"] * 28]),
            Settings(),
            ("few cards", "no usage", "no skill bands"),
        ),
        (
            table([100] * 30, [50] * 30, faction=["Cog", *["Wick"] * 29]),
            Settings(),
            ("no usage", "no skill bands"),
        ),
    ],
)  # fmt: skip
def test_what_limits_the_verdicts_is_said(cards, settings, cautions):
    assert judge(cards, settings).warnings == cautions


@pytest.mark.parametrize(("baseline", "far"), [(0.519, False), (0.521, True)])
def test_a_baseline_is_too_far_from_two_points_on(baseline: float, far: bool):
    cards = table([100] * 12, [50] * 12)

    above = judge(cards, Settings(baseline=baseline)).warnings
    below = judge(cards, Settings(baseline=1 - baseline)).warnings

    assert ("baseline too high" in above) == far
    assert ("baseline too low" in below) == far


def test_a_trap_and_an_unplayed_card_are_called_so():
    rng = np.random.default_rng(6)
    pick = np.linspace(1, 12, 60)
    effect = 0.3 * (6.5 - pick) / 5.5 + rng.normal(0, 0.05, size=60)
    effect[0] = -0.6
    played = np.where(np.arange(60) == 30, 5, 70)
    cards = table([3000] * 60, rng.binomial(3000, expit(effect)), mean_pick=pick,
                  drafted=[100] * 60, played=played)  # fmt: skip

    judged = judge(cards, AS_RECORDED)

    assert named(judged, "card 0").reasons == ("weak", "trap")
    assert "unplayed" in named(judged, "card 30").reasons
    assert named(judged, "card 59").reasons == ("weak",)
    assert named(judged, "card 5").reasons == ()


def test_a_strong_card_in_a_weak_faction_is_not_cut_for_its_company():
    rng = np.random.default_rng(4)
    faction = np.repeat(["Cog", "Ferry", "Hearth", "Petal", "Quill", "Wick"], 20)
    effect = np.where(faction == "Cog", -0.3, 0.06) + rng.normal(0, 0.05, size=120)
    effect[0] = -0.2
    wins = rng.binomial(4000, expit(effect))

    with_home = judge(table([4000] * 120, wins, faction=faction), AS_RECORDED)
    without = judge(table([4000] * 120, wins), AS_RECORDED)

    assert named(without, "card 0").verdict == "cut"
    assert named(with_home, "card 0").verdict == "keep"
    assert named(with_home, "card 0").reasons == ("weak home",)


def test_a_strong_card_in_a_failing_archetype_is_not_cut_for_its_home():
    rng = np.random.default_rng(4)
    home = np.where(np.arange(60) < 30, "Toads", "Kites")
    effect = np.where(home == "Toads", -0.3, 0.3) + rng.normal(0, 0.05, size=60)
    effect[0] = -0.2
    wins = rng.binomial(4000, expit(effect))

    with_home = judge(table([4000] * 60, wins, archetype=home.tolist()), AS_RECORDED)
    without = judge(table([4000] * 60, wins), AS_RECORDED)

    assert named(without, "card 0").reasons == ("weak",)
    assert named(with_home, "card 0").verdict == "keep"
    assert named(with_home, "card 0").reasons == ("weak home",)


@pytest.mark.parametrize(("allowance", "design_effect"), [(1.0, 1.0), (0.9, 2.0)])
def test_the_games_needed_are_those_of_where_the_card_stands(allowance, design_effect):
    cards = pool()
    settings = Settings(allowance=allowance, design_effect=design_effect)
    judged, fitted = judge(cards, settings), strength(cards, settings)
    mean = fitted.sample.level.sample_mean

    removable = (allowance * fitted.record().scale) ** 2
    information = mean * (1 - mean) / design_effect / allowance**2
    needed = games_to_settle(
        Standing(
            mean=fitted.own().centre,
            sd=fitted.own().scale,
            removable=removable,
            line=float(fitted.effect(judged.line)),
            sure=0.9,
            looks=(record_look(removable, information),),
        )
    )

    waiting = {card.card: card.games_needed for card in judged.cards if card.games_needed}
    assert waiting
    assert waiting == {name: needed[cards.card.index(name)] for name in waiting}


class Record:
    """Cards whose records are all there is, of which more can be played."""

    settings = Settings(design_effect=1.0)

    def __init__(self, rng: np.random.Generator, cards: int = 60) -> None:
        self.rng, self.effect = rng, rng.normal(0, 0.18, cards)
        self.games, self.wins = np.zeros(cards), np.zeros(cards)

    def played(self, more: int) -> CardTable:
        self.games = self.games + more
        self.wins = self.wins + self.rng.binomial(more, expit(0.1 + self.effect))
        return table(self.games, self.wins)


class Decks:
    """Cards of company unlike, of which two games in five come to hand."""

    def __init__(self, rng: np.random.Generator, measure: str, cards: int = 60) -> None:
        self.settings = Settings(measure=measure, design_effect=1.0)
        self.rng, self.own = rng, rng.normal(0, 0.12, cards)
        self.company = rng.normal(0, 0.1, cards)
        self.counts = np.zeros((4, cards))

    def played(self, more: int) -> CardTable:
        held = more if self.settings.measure == "held" else 2 * more // 5
        rest = 3 * held // 2
        won = self.rng.binomial(held, expit(0.1 + self.company + self.own))
        left = self.rng.binomial(rest, expit(self.company))
        cards = np.ones(len(won))
        self.counts = self.counts + np.array([held * cards, won, rest * cards, left])
        games, wins, rest_games, rest_wins = self.counts
        if self.settings.measure == "deck":
            games, wins = games + rest_games, wins + rest_wins
        return table(games, wins, unheld_games=rest_games, unheld_wins=rest_wins)


def settling(history: Record | Decks, first: int, more: int) -> tuple[np.ndarray, np.ndarray]:
    """Predicted chances that open verdicts settle, and whether they did."""

    def judged(fitted: Strength) -> tuple[Standing, np.ndarray]:
        line = float(fitted.effect(fitted.target.baseline - history.settings.margin_used))
        return standing(fitted, line, 0.9), fitted.own().below(line)

    here, before = judged(strength(history.played(first), history.settings))
    _, after = judged(strength(history.played(more), history.settings))
    is_open = (before > 0.1) & (before < 0.9)
    settled = (after <= 0.1) | (after >= 0.9)
    return chance_to_settle(here, more)[is_open], settled[is_open]


HISTORIES = {
    "record": Record,
    "held": lambda rng: Decks(rng, "held"),
    "deck": lambda rng: Decks(rng, "deck"),
}


@pytest.mark.parametrize(
    ("kind", "first", "more"),
    [
        ("record", 600, 6000),
        ("held", 600, 4000),
        ("deck", 1500, 10_000),
    ],
)
def test_as_many_verdicts_settle_as_was_predicted(kind: str, first: int, more: int):
    pools = [
        settling(HISTORIES[kind](np.random.default_rng([5, seed])), first, more)
        for seed in range(16)
    ]
    predicted, settled = (np.concatenate(part) for part in zip(*pools, strict=True))

    likely = predicted > np.median(predicted)
    assert len(settled) > 300
    assert settled.mean() == pytest.approx(predicted.mean(), abs=0.05)
    assert settled[likely].mean() > settled[~likely].mean() + 0.05


def test_the_tolerable_list_is_the_longest_with_one_in_ten_wrong():
    judged = judge(pool(), Settings(allowance=1.0))
    chances = sorted((c.chance_below for c in judged.cards if c.games), reverse=True)
    wrong = 1 - np.cumsum(chances) / np.arange(1, len(chances) + 1)

    assert 0 < judged.tolerable < len(chances)
    assert wrong[judged.tolerable - 1] <= 0.1 < wrong[judged.tolerable]


def test_the_shortlist_is_at_most_a_third_of_the_pool():
    assert judge(pool(), Settings(shortlist=1000)).shortlist == len(pool()) // 3


def test_a_lone_card_is_no_baseline_for_itself():
    lone = table([100, 0], [50, 0])

    with pytest.raises(FitError, match="its own mean is no baseline for it"):
        judge(lone)
    assert {card.games for card in judge(lone, Settings(baseline=0.5)).cards} == {0, 100}


def test_usage_that_a_small_pool_cannot_teach_is_not_said_to_bear_on_it():
    assert judge(pool(30)).usage_columns == ("games",)
    assert judge(pool(29)).usage_columns == ()


def test_a_card_without_games_is_on_no_tolerable_list():
    cards = [200.0] * 40 + [0.0] * 5
    judged = judge(table(cards, [80.0] * 40 + [0.0] * 5), Settings(baseline=0.6, margin=0.0))

    assert judged.tolerable == 40


def test_a_card_that_was_never_in_hand_has_no_win_rate_of_its_own():
    cards = pool()
    held = cards.games.copy()
    wins = cards.wins.copy()
    held[0] = wins[0] = 0
    left = CardTable(
        cards.card, held, wins, unheld_games=cards.games, unheld_wins=np.floor(cards.games / 2)
    )

    card = named(judge(left), "card 0")

    assert card.games == 0
    assert card.win_rate is None


KITCHEN = (
    (18, 10), (21, 10), (21, 13), (6, 2), (21, 10), (5, 2), (31, 24), (6, 2), (5, 2), (33, 10),
    (38, 21), (22, 14), (17, 7), (8, 2), (8, 4), (8, 2), (10, 4), (26, 14), (19, 10), (21, 13),
    (22, 10), (36, 11), (11, 4), (12, 6),
)  # fmt: skip


@cache
def kitchen() -> PoolVerdict:
    games, wins = zip(*KITCHEN, strict=True)
    return judge(CardTable([f"spoon {i}" for i in range(len(games))], games, wins))


def test_a_card_of_a_few_games_is_told_how_many_more_may_settle_it():
    waiting = [card for card in kitchen().cards if card.verdict == "more games"]

    assert len(waiting) > 20
    assert {card.games_needed for card in waiting} == {None}
    assert all(100 < card.games_worth < 5000 for card in waiting)
    assert all(0.25 < card.chance_worth < 0.8 for card in waiting)
    assert {card.reasons[-1] for card in waiting} == {"few games"}


def test_what_games_may_do_for_each_card_agrees_with_the_outlook_for_all():
    waiting = [card for card in kitchen().cards if card.verdict == "more games"]
    [hundredfold] = [step for step in kitchen().outlook if step.times == 100]

    expected = sum(card.chance_worth for card in waiting)

    assert expected == pytest.approx(hundredfold.newly, rel=0.15)


def test_settled_cards_have_no_games_worth_a_try():
    kept = [card for card in kitchen().cards if card.verdict == "keep"]

    assert kept
    assert {(card.games_worth, card.chance_worth) for card in kept} == {(None, None)}


def test_a_pool_says_what_tells_of_use():
    assert kitchen().use_known == ("games",)
    assert not kitchen().shows_use
    assert replace(kitchen(), use_known=("games", "mean_pick")).shows_use


@pytest.mark.parametrize(("games", "allowance"), [(8000, 0.3), (100, 1.0)])
def test_only_a_card_whose_whole_range_is_close_is_on_the_line(games, allowance):
    # Records of one to four times the games each, taken at face value, about the line.
    counts = [games * (1 + i % 4) for i in range(40)]
    wins = [round(n * (0.44 + 0.003 * i)) for i, n in enumerate(counts)]
    table = CardTable([f"card {i}" for i in range(40)], counts, wins)

    found = judge(table, Settings(allowance=allowance, margin=0.0))

    near = [card for card in found.cards if 0.3 <= card.chance_below <= 0.7]
    called = {card.card for card in near if card.reasons[-1] == "on the line"}
    close = {
        card.card
        for card in near
        if found.line - 0.02 <= card.low and card.high <= found.line + 0.02
    }
    assert near
    assert called <= close
    assert called


def test_one_game_of_another_card_makes_the_mean_a_baseline():
    judged = judge(table([100, 1, 0], [50, 1, 0]))

    assert judged.baseline == judged.sample_mean
    assert judged.baseline_origin == "sample"
    assert named(judged, "card 1").win_rate == 1.0
    assert named(judged, "card 1").expected_rate == pytest.approx(judged.sample_mean)
    assert named(judged, "card 2").win_rate is None
    assert named(judged, "card 2").expected_rate is None


@pytest.mark.parametrize("measure", ["held", "deck"])
def test_the_allowance_told_is_the_cards_own_part_of_the_records_used(measure: str):
    cards = Decks(np.random.default_rng(5), measure).played(2000)
    settings = Settings(measure=measure)
    fitted, plain = strength(cards, settings), strength(pool(), settings)

    of_decks, of_records = judge(cards, settings).allowance, judge(pool(), settings).allowance

    seen = fitted.sample.seen
    assert fitted.sample.contrast is not None
    assert seen < 0.9
    assert of_decks == pytest.approx(
        fitted.allowance.share * (seen if measure == "held" else 1.0)
    )
    assert of_records == plain.allowance.share


def test_a_margin_as_large_as_the_baseline_leaves_no_line():
    with pytest.raises(SettingError, match=r"below the baseline \(0.1000\), got 0.1"):
        judge(pool(), Settings(baseline=0.1, margin=0.1))


@pytest.mark.parametrize(("cards", "most"), [(2, 1), (5, 1), (6, 2)])
def test_even_a_small_pool_has_a_shortlist(cards: int, most: int):
    assert judge(table([100] * cards, [50] * cards)).shortlist == most


def test_a_try_is_named_where_it_settles_one_verdict_in_five():
    cards, settings = pool(), Settings(allowance=0.2, margin=0.0)
    judged, fitted = judge(cards, settings), strength(cards, settings)
    here = standing(fitted, float(fitted.effect(judged.line)), 0.9)
    worth, then = games_that_do_most(here)

    stuck = [card for card in judged.cards if card.games_needed is None]
    found = {card.card: (card.games_worth, card.chance_worth) for card in stuck}
    assert found == {
        name: (int(worth[i]), float(then[i])) if then[i] >= 0.2 else (None, None)
        for i, name in enumerate(cards.card)
        if name in found
    }
    assert {one is None for one, _ in found.values()} == {True, False}


def test_games_without_wins_say_nothing_of_how_real_differences_are():
    games, wins = [900] * 20, [*range(400, 500, 5)]
    known = judge(table(games, wins), AS_RECORDED)

    with_unknown = judge(table([*games, 900], [*wins, np.nan]), AS_RECORDED)

    assert with_unknown.real_share == pytest.approx(known.real_share, rel=0.05)
    assert 0.3 < known.real_share < 1


def test_the_real_share_is_what_cards_differ_by_beside_one_cards_luck():
    # Rankability as van Dishoeck et al. (2011) define it (from memory), of every record.
    games, wins = np.array([100.0, 900.0, 1.0]), np.array([40.0, 500.0, 1.0])

    judged = judge(table(games, wins), AS_RECORDED)

    chance = judged.sample_mean * (1 - judged.sample_mean)
    record, error = (wins / games - judged.sample_mean) / chance, 1 / (games * chance)
    about = record - np.average(record, weights=1 / error)
    between = ((about**2 / error).sum() - 3) / (1 / error).sum()
    own = (judged.spread / chance) ** 2
    assert judged.real_share == pytest.approx(own / (max(between, own) + np.median(error)))
