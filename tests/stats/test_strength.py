"""How strong each card is, from its total games and wins."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit, logit

from winrate_tools.errors import FitError
from winrate_tools.settings import Settings
from winrate_tools.stats.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.stats.strength import OWN_SHARE, OWN_SHARE_MIXED, Strength, strength
from winrate_tools.tables import CardTable

AS_RECORDED = Settings(allowance=1.0, design_effect=1.0)


def names(count: int) -> list[str]:
    return [f"card {i}" for i in range(count)]


def table(games, wins, **columns) -> CardTable:
    return CardTable(names(len(games)), games, wins, **columns)


def pool(cards: int = 40, *, seed: int = 1, spread: float = 0.2, **columns) -> CardTable:
    """A pool whose games have nothing to do with strength."""
    rng = np.random.default_rng(seed)
    games = rng.integers(100, 900, size=cards)
    wins = rng.binomial(games, expit(0.1 + rng.normal(0, spread, size=cards)))
    return table(games, wins, **columns)


def estimates(fitted: Strength) -> np.ndarray:
    return fitted.rate(fitted.own().centre)


HUGE = 1_000_000_000
HARD_POOLS = [
    pytest.param(table([400], [230]), id="one card"),
    pytest.param(table([1], [1]), id="one card and one game"),
    pytest.param(table([1, 0], [0, 0]), id="one game in all"),
    pytest.param(table([0] * 5 + [10], [0] * 5 + [4]), id="one card with games of six"),
    pytest.param(table([400] * 50, [200] * 50), id="all equal"),
    pytest.param(table([300] * 40, [300] * 40), id="all wins"),
    pytest.param(table([300] * 40, [0] * 40), id="all losses"),
    pytest.param(table([HUGE] * 35, np.linspace(4e8, 6e8, 35).round()), id="huge"),
    pytest.param(table([10_000_000] + [5] * 40, [5e6] + [2] * 40), id="one huge among small"),
    pytest.param(table([HUGE, 10], [HUGE, 0]), id="a huge winner"),
    pytest.param(table([200] * 40, [0] * 20 + [200] * 20), id="half win all"),
    pytest.param(table([90, 50], [np.nan, 20]), id="wins unknown"),
    pytest.param(
        table([200] * 40, [100] * 40, faction=[None] * 39 + ["Cog"]), id="one faction"
    ),
    pytest.param(
        table([0] * 20 + [200] * 40, [0] * 20 + [90] * 20 + [110] * 20, rarity=["r"] * 60,
              faction=["Cog", "Wick"] * 30, mean_pick=[1, 9] * 30, drafted=[0, 5] * 30,
              played=[0, 5] * 30),
        id="everything known",
    ),
]  # fmt: skip


@pytest.mark.parametrize("cards", HARD_POOLS)
@pytest.mark.parametrize("settings", [Settings(), AS_RECORDED], ids=["usual", "as recorded"])
def test_is_finite_for_every_card_of_any_pool(cards: CardTable, settings: Settings):
    fitted = strength(cards, settings)

    own = fitted.own()
    assert np.isfinite([own.centre, own.scale, own.quantile(0.01), own.quantile(0.99)]).all()
    assert np.all(own.scale > 0)
    assert np.isfinite(fitted.draws(50, seed=1)).all()
    assert np.all((estimates(fitted) > 0) & (estimates(fitted) < 1))
    assert fitted.weight.sum(axis=0) == pytest.approx(np.ones(len(cards)))


def test_says_so_if_no_card_has_a_game():
    with pytest.raises(FitError, match="no card has a game"):
        strength(table([0, 0], [0, 0]))


def test_endless_games_leave_the_raw_rate():
    cards = table([HUGE] * 35, np.linspace(4.2e8, 5.8e8, 35).round())

    fitted = strength(cards, AS_RECORDED)

    assert estimates(fitted) == pytest.approx(cards.wins / cards.games, abs=1e-5)
    assert np.all(fitted.own().scale < 1e-3)


def test_few_games_leave_hardly_more_than_the_mean():
    cards = table([*[1000] * 20, 3], [*np.linspace(470, 530, 20).round(), 3])

    found = estimates(strength(cards, AS_RECORDED))

    assert 0.5 < found[-1] < 0.52


def test_estimates_lie_between_the_raw_rates_and_the_mean():
    cards = pool(25)

    fitted = strength(cards, AS_RECORDED)

    mean = fitted.rate(0.0)
    raw, found = cards.wins / cards.games, estimates(fitted)
    far = np.abs(raw - mean) > 0.02
    shrunk = (found - mean) / (raw - mean)
    assert far.sum() > 10
    assert np.all((shrunk[far] > 0) & (shrunk[far] < 1.1))
    assert np.corrcoef(shrunk[far], cards.games[far])[0, 1] > 0.3


@pytest.mark.parametrize("cards", [12, 60])
@pytest.mark.parametrize("settings", [Settings(), AS_RECORDED], ids=["usual", "as recorded"])
def test_an_unplayed_card_is_never_as_certain_as_a_played_one(cards: int, settings: Settings):
    fitted = strength(table([400] * cards + [0], [200] * cards + [0]), settings)

    scale = fitted.own().scale
    assert scale[-1] > 1.05 * scale[0]


def test_a_given_baseline_moves_no_estimate():
    cards = pool()

    own, given = strength(cards), strength(cards, Settings(baseline=0.55))

    assert np.array_equal(own.own().centre, given.own().centre)
    assert np.array_equal(estimates(own), estimates(given))
    assert given.level.rate == 0.55


def test_rates_and_effects_undo_each_other():
    fitted = strength(pool())

    assert fitted.effect(fitted.rate(0.13)) == pytest.approx(0.13)
    assert fitted.rate(0.0) == pytest.approx(fitted.level.sample_mean)


def test_unplayed_cards_have_no_leverage_on_the_others():
    cards = pool(40)
    padded = table([*cards.games, *[0] * 50], [*cards.wins, *[0] * 50])

    alone, among = strength(cards), strength(padded)

    moved = np.abs(estimates(among)[:40] - estimates(alone))
    assert moved.max() < 0.004
    assert moved.mean() < 0.0015
    assert among.own().scale[:40] == pytest.approx(alone.own().scale, rel=0.15)


def test_the_order_of_the_rows_does_not_matter():
    cards = pool(40, faction=["Cog", "Wick"] * 20, mean_pick=np.linspace(1, 9, 40))
    order = np.random.default_rng(3).permutation(40)
    shuffled = CardTable(
        [cards.card[i] for i in order],
        cards.games[order],
        cards.wins[order],
        faction=[cards.faction[i] for i in order],
        mean_pick=cards.mean_pick[order],
    )

    plain, moved = strength(cards).own(), strength(shuffled).own()

    assert moved.centre == pytest.approx(plain.centre[order], abs=1e-6)
    assert moved.scale == pytest.approx(plain.scale[order], abs=1e-6)


def test_names_do_not_matter():
    cards = pool()
    renamed = CardTable([f"other {i}" for i in range(40)], cards.games, cards.wins)

    assert np.array_equal(estimates(strength(renamed)), estimates(strength(cards)))


def test_a_card_in_two_rows_is_one_card():
    cards = pool(20)
    half_games, half_wins = cards.games // 2, cards.wins // 3
    split = CardTable(
        names(20) * 2,
        [*half_games, *(cards.games - half_games)],
        [*half_wins, *(cards.wins - half_wins)],
    )

    assert np.array_equal(estimates(strength(split.totals())), estimates(strength(cards)))


@pytest.mark.parametrize("card", [0, 7, 19, 33])
@pytest.mark.parametrize("settings", [Settings(), AS_RECORDED], ids=["usual", "as recorded"])
def test_one_more_win_never_lowers_a_card(card: int, settings: Settings):
    cards, found = pool(35), []
    for more in range(5):
        wins = cards.wins.copy()
        wins[card] += more
        found.append(estimates(strength(table(cards.games, wins), settings))[card])

    assert np.all(np.diff(found) > 0)


def test_the_same_seed_gives_the_same_numbers():
    cards = pool(30)

    first, again, other = (strength(cards, Settings(seed=seed)) for seed in (3, 3, 4))

    assert np.array_equal(first.draws(100, seed=3), again.draws(100, seed=3))
    assert np.array_equal(estimates(first), estimates(again))
    assert not np.array_equal(estimates(first), estimates(other))
    assert estimates(first) == pytest.approx(estimates(other), abs=0.003)


def test_counts_are_divided_by_the_design_effect_and_by_what_is_left_of_the_sample():
    cards = table([100, 300], [60, 150])

    usual, double = strength(cards), strength(cards, Settings(design_effect=2))

    left = 1 - np.array([0.25, 0.75])
    assert usual.evidence.games == pytest.approx(cards.games / DEFAULT_DESIGN_EFFECT / left)
    assert double.evidence.games == pytest.approx(cards.games / 2 / left)
    assert double.evidence.wins == pytest.approx(cards.wins / 2 / left)
    assert (usual.design_effect, double.design_effect) == (DEFAULT_DESIGN_EFFECT, 2)


def test_a_card_that_is_nearly_the_whole_sample_is_capped():
    found = strength(table([990, 10], [500, 5]), AS_RECORDED)

    assert found.evidence.games == pytest.approx([990 / 0.1, 10 / 0.99])


def test_taken_at_face_value_own_effects_are_records():
    fitted = strength(pool(), AS_RECORDED)

    assert np.array_equal(fitted.own().mean, fitted.record().mean)
    assert fitted.own().sd == pytest.approx(fitted.record().sd)
    assert fitted.spread()[0] == pytest.approx(fitted.spread()[1])
    assert fitted.allowance == 1


@pytest.mark.parametrize("allowance", [0.1, 0.5, 0.8])
def test_a_smaller_allowance_draws_to_the_mean(allowance: float):
    fitted = strength(pool(), replace(AS_RECORDED, allowance=allowance))

    assert fitted.own().centre == pytest.approx(allowance * fitted.record().centre)
    assert np.array_equal(fitted.own().centre, fitted.own(allowance).centre)
    assert fitted.spread()[1] < fitted.spread()[0]
    assert fitted.allowance == pytest.approx(allowance)


def test_what_is_not_the_cards_own_leaves_its_effect_uncertain_forever():
    # With endless games the record is known; c lambda (1 - lambda) tau^2 is not.
    rates = expit(np.random.default_rng(5).normal(0, 0.2, size=25))
    cards = table([HUGE] * 25, (HUGE * rates).round())

    fitted = strength(cards, replace(AS_RECORDED, allowance=0.5))

    left = np.sqrt(0.45 * 0.25 * (fitted.draw_weight @ fitted.within)[0])
    assert fitted.own().scale == pytest.approx(np.full(25, left), rel=0.01)
    assert left == pytest.approx(np.sqrt(0.45 * 0.25) * 0.2, rel=0.3)


def test_games_can_remove_only_what_they_are_about():
    fitted = strength(pool(), replace(AS_RECORDED, allowance=0.6))

    assert fitted.removable() == pytest.approx((0.6 * fitted.record().scale) ** 2)
    assert np.all(fitted.removable() < fitted.own().scale ** 2)


@pytest.mark.parametrize("measure", ["held", "opening", "deck"])
def test_the_usual_allowance_depends_on_the_measure_and_on_known_factions(measure):
    mixed = strength(pool(), Settings(measure=measure))
    known = strength(pool(faction=["Cog", "Wick"] * 20), Settings(measure=measure))

    assert mixed.allowance == pytest.approx(OWN_SHARE_MIXED[measure], abs=0.04)
    assert known.allowance == pytest.approx(OWN_SHARE[measure], abs=0.04)
    assert (mixed.factions, known.factions) == ((), ("Cog", "Wick"))


def test_the_usual_allowance_is_itself_uncertain():
    fitted = strength(pool(20, spread=0.3))

    sure, unsure = fitted.own(fitted.allowance), fitted.own()
    far = np.abs(sure.centre) > 0.1
    share = fitted.own_share[: len(fitted.draw_weight), 0]
    assert far.any()
    assert np.sqrt(fitted.draw_weight @ (share - fitted.allowance) ** 2) == pytest.approx(
        0.1, abs=0.02
    )
    assert np.all(unsure.scale[far] > 1.01 * sure.scale[far])


def test_what_a_faction_shares_is_put_down_to_company():
    # Six factions of twenty; the cards of one all win less, by a fifth on the log-odds.
    rng = np.random.default_rng(4)
    faction = np.repeat(["Cog", "Ferry", "Hearth", "Petal", "Quill", "Wick"], 20)
    company = np.where(faction == "Cog", -0.2, 0.04)
    wins = rng.binomial(2000, expit(company + rng.normal(0, 0.1, size=120)))

    fitted = strength(table([2000] * 120, wins, faction=faction), AS_RECORDED)

    record, own = fitted.record().centre, fitted.own().centre
    shared = (fitted.weight * fitted.company).sum(axis=0)
    assert record[:20].mean() < -0.15
    assert abs(own[:20].mean() - own[20:].mean()) < 0.06
    assert record - own == pytest.approx(shared)
    assert shared[:20] == pytest.approx(np.full(20, shared[0]))


def test_surprise_is_what_usage_did_not_promise():
    # Picks foretell half of the strength; one early pick is as weak as the last.
    rng = np.random.default_rng(6)
    pick = np.linspace(1, 12, 60)
    effect = 0.3 * (6.5 - pick) / 5.5 + rng.normal(0, 0.05, size=60)
    effect[0] = -0.3
    cards = table([3000] * 60, rng.binomial(3000, expit(effect)), mean_pick=pick)

    fitted = strength(cards, AS_RECORDED)

    surprise, expected = fitted.surprise().centre, fitted.weight * fitted.expected
    assert np.argmin(surprise) == 0
    assert surprise == pytest.approx(fitted.own().centre - expected.sum(axis=0))
    assert surprise[0] < -0.4
    assert np.abs(surprise[1:]).max() < 0.2


def test_usage_lifts_a_card_that_nobody_has_counted():
    rng = np.random.default_rng(8)
    pick = np.array([*np.linspace(1, 12, 60), 1.0, 12.0])
    wins = rng.binomial(1000, expit(0.3 * (6.5 - pick[:60]) / 5.5))
    cards = table([1000] * 60 + [0, 0], [*wins, 0, 0], mean_pick=pick)

    found = strength(cards, AS_RECORDED).own().centre

    assert found[60] - found[61] > 0.3


def test_draws_agree_with_the_mixture():
    fitted = strength(pool(40, spread=0.3))

    draws = fitted.draws(20_000, seed=2)

    own = fitted.own()
    assert draws.shape == (20_000, 40)
    assert (draws.mean(axis=0) - own.centre) / own.scale == pytest.approx(
        np.zeros(40), abs=0.04
    )
    assert draws.std(axis=0) / own.scale == pytest.approx(np.ones(40), abs=0.05)
    assert (draws < own.quantile(0.1)).mean(axis=0) == pytest.approx(np.full(40, 0.1), abs=0.02)


def test_errors_of_unplayed_cards_move_together():
    # All hang on the same unknown mean of the pool.
    fitted = strength(table([60, 60, 60, 0, 0], [20, 30, 40, 0, 0]), AS_RECORDED)

    draws = fitted.draws(20_000, seed=2)

    assert np.corrcoef(draws[:, 3], draws[:, 4])[0, 1] > 0.1


def test_the_spreads_are_those_between_cards():
    cards = table([HUGE] * 30, (HUGE * expit(np.linspace(-0.3, 0.3, 30))).round())

    fitted = strength(cards, AS_RECORDED)

    assert fitted.spread() == pytest.approx(
        np.full(2, np.linspace(-0.3, 0.3, 30).std()), rel=1e-3
    )


class Drawn:
    """Thirty pools drawn from the model: usage moves the mean, a class of traps, no company."""

    def __init__(self) -> None:
        rng = np.random.default_rng(30)
        self.pools = [self.one(rng) for _ in range(30)]
        self.places = np.concatenate([places for places, _ in self.pools])
        self.truths = np.concatenate([truth for _, truth in self.pools])

    def one(self, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray]:
        cards = 60
        games = np.exp(rng.normal(5.5, 1, size=cards)).round() + 1
        liking = np.log(games)
        liking = np.clip((liking - liking.mean()) / liking.std(), -2.5, 2.5)
        spread, slope = abs(rng.normal(0, 0.15)), rng.normal(0, 0.2)
        depth, second = 0.22 * np.exp(rng.normal(0, 0.5)), 0.1 * np.exp(rng.normal(0, 0.5))
        share = expit(logit(0.1) + rng.normal() - rng.normal(0.5, 1) * liking)
        fallen = rng.random(cards) < share
        truth = np.where(
            fallen, rng.normal(-depth, second, cards), rng.normal(slope * liking, spread)
        )
        wins = rng.binomial(games.astype(int), expit(0.1 + truth))
        fitted = strength(table(games, wins), AS_RECORDED)
        effects = fitted.effect(expit(0.1 + truth))
        return fitted.own().below(effects), effects - fitted.own().centre


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    return Drawn()


def test_nine_in_ten_ranges_hold_nine_in_ten_truths(drawn: Drawn):
    cover = np.mean((drawn.places > 0.05) & (drawn.places < 0.95))

    assert 0.87 < cover < 0.93


def test_truths_fall_anywhere_in_their_posteriors(drawn: Drawn):
    # The idea of simulation-based calibration (Talts et al. 2018, from memory), on one card in
    # four so that cards of one pool, which share what is unknown about it, hardly count twice.
    counts, _ = np.histogram(drawn.places[::4], bins=10, range=(0, 1))

    assert counts.sum() == 450
    assert stats.chisquare(counts).pvalue > 0.01


def test_estimates_miss_to_either_side_alike(drawn: Drawn):
    errors = drawn.truths

    assert abs(errors.mean()) < 0.02
