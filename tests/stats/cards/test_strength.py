"""How strong each card is, from its total games and wins."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit, logit

from winrate_tools.errors import FitError
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.allowance import usual_allowance
from winrate_tools.stats.cards.grades import grades
from winrate_tools.stats.cards.prior import Classes
from winrate_tools.stats.cards.ranks import ranks
from winrate_tools.stats.cards.strength import Strength, _between, strength
from winrate_tools.stats.crossed.sample import sample
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
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
    assert given.sample.level.rate == 0.55


def test_against_a_given_line_the_mean_of_few_games_is_unsure_too():
    cards = table([20, 30, 25], [12, 14, 11])

    own, given = strength(cards), strength(cards, Settings(baseline=0.5))

    variance = given.sample.level.variance
    assert variance > 0.05
    assert given.own().scale ** 2 == pytest.approx(own.own().scale ** 2 + variance)
    assert given.removable() == pytest.approx(own.removable() + variance)


def test_what_is_unsure_of_the_mean_is_no_difference_between_cards():
    cards = table([20, 30, 25], [12, 14, 11])

    own, given = strength(cards), strength(cards, Settings(baseline=0.5))

    assert given.spread() == own.spread()
    assert np.array_equal(given.draws(50, seed=1), own.draws(50, seed=1))
    assert np.array_equal(given.surprise().scale, own.surprise().scale)


@pytest.mark.parametrize("baseline", ["sample", 0.6])
def test_rates_and_effects_undo_each_other(baseline):
    fitted = strength(pool(), Settings(baseline=baseline))

    assert fitted.effect(fitted.rate(0.13)) == pytest.approx(0.13)
    assert fitted.rate(0.0) == pytest.approx(fitted.sample.level.sample_mean)


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


STRATA = {
    "card": (),
    "archetype": ("archetype",),
    "band": ("skill_band",),
    "archetype and band": ("archetype", "skill_band"),
}
DETAILS = [pytest.param(strata, id=name) for name, strata in STRATA.items()]
COLUMNS = ("archetype", "skill_band", "unheld_games", "unheld_wins")


def detailed(strata: tuple[str, ...], *, unheld: bool, cards: int = 40) -> CardTable:
    """Cards counted within two archetypes and two bands, as far as these are told."""
    rng = np.random.default_rng(9)
    rows = cards if not strata else 2 * cards if len(strata) == 1 else 4 * cards
    place = np.arange(rows)
    held, rest = rng.integers(100, 900, (2, rows))
    odds = 0.1 + rng.normal(0, 0.2, cards)[place % cards] + 0.3 * (place // cards % 2)
    columns = {
        "archetype": np.where(place // cards % 2, "Kites", "Toads").tolist(),
        "skill_band": np.where(place >= rows // 2, "new", "old").tolist(),
    }
    counted = {"unheld_games": rest, "unheld_wins": rng.binomial(rest, 0.5)} if unheld else {}
    return CardTable(
        [f"card {i % cards}" for i in place],
        held,
        rng.binomial(held, expit(odds)),
        **{name: columns[name] for name in strata},
        **counted,
    )


def shuffled(cards: CardTable) -> CardTable:
    order = np.random.default_rng(5).permutation(len(cards))
    columns = {name: getattr(cards, name) for name in COLUMNS}
    return CardTable(
        [cards.card[i] for i in order],
        cards.games[order],
        cards.wins[order],
        **{name: [col[i] for i in order] for name, col in columns.items() if col is not None},
    )


def renamed(cards: CardTable) -> CardTable:
    columns = {name: getattr(cards, name) for name in COLUMNS}
    return CardTable(
        [f"other {name}" for name in cards.card], cards.games, cards.wins, **columns
    )


def halved(cards: CardTable) -> CardTable:
    """Every row in two, of a third and two thirds of its wins, losses and unheld games."""
    columns = {name: getattr(cards, name) for name in COLUMNS}
    split = {
        name: split_count(column) if name.startswith("unheld") else column * 2
        for name, column in columns.items()
        if column is not None
    }
    wins = split_count(cards.wins)
    games = wins + split_count(cards.games - cards.wins)
    if "unheld_wins" in split:
        losses = split_count(cards.unheld_games - cards.unheld_wins)
        split["unheld_games"] = split["unheld_wins"] + losses
    return CardTable(cards.card * 2, games, wins, **split)


def split_count(count: np.ndarray) -> np.ndarray:
    return np.concatenate([count // 3, count - count // 3])


@pytest.mark.parametrize("strata", DETAILS)
@pytest.mark.parametrize("unheld", [False, True], ids=["held only", "held and unheld"])
def test_neither_order_nor_names_nor_halves_of_rows_matter(strata, unheld: bool):
    cards = detailed(strata, unheld=unheld)
    plain = strength(cards)
    found = dict(zip(plain.sample.totals.card, plain.own().centre, strict=True))
    scale = dict(zip(plain.sample.totals.card, plain.own().scale, strict=True))

    for changed in (shuffled(cards), renamed(cards), halved(cards)):
        moved = strength(changed)
        known = [name.removeprefix("other ") for name in moved.sample.totals.card]
        assert moved.own().centre == pytest.approx([found[name] for name in known], abs=1e-6)
        assert moved.own().scale == pytest.approx([scale[name] for name in known], abs=1e-6)


@pytest.mark.parametrize("card", [0, 7, 19, 33])
@pytest.mark.parametrize("settings", [Settings(), AS_RECORDED], ids=["usual", "as recorded"])
def test_one_more_win_never_lowers_a_card(card: int, settings: Settings):
    cards, found = pool(35), []
    for more in range(5):
        wins = cards.wins.copy()
        wins[card] += more
        found.append(estimates(strength(table(cards.games, wins), settings))[card])

    assert np.all(np.diff(found) > 0)


def test_a_seed_moves_draws_but_no_estimate():
    cards = pool(30)

    first, other = (strength(cards, Settings(seed=seed)) for seed in (3, 4))

    assert np.array_equal(first.draws(100, seed=3), other.draws(100, seed=3))
    assert not np.array_equal(first.draws(100, seed=3), first.draws(100, seed=4))
    assert np.array_equal(estimates(first), estimates(other))
    assert np.array_equal(first.own_share, other.own_share)


@pytest.mark.parametrize("alike", [0, 12])
def test_the_order_of_the_rows_changes_no_rank_and_no_grade(alike: int):
    # Cards without games are alike, so that only their names tell them apart.
    cards = pool(50, seed=3, faction=["Cog", "Wick"] * 25)
    games = np.where(np.arange(50) < alike, 0, cards.games)
    order = np.random.default_rng(5).permutation(50)
    columns = [games, np.minimum(cards.wins, games)]
    other = CardTable(
        [cards.card[i] for i in order],
        *[column[order] for column in columns],
        faction=[cards.faction[i] for i in order],
    )

    plain = strength(CardTable(cards.card, *columns, faction=cards.faction)).draws(500, seed=1)
    shuffled = strength(other).draws(500, seed=1)

    assert shuffled == pytest.approx(plain[:, order], abs=1e-9)
    assert np.array_equal(grades(shuffled).grade, grades(plain).grade[order])
    both = zip(ranks(shuffled, worst=10), ranks(plain, worst=10), strict=True)
    assert all(np.array_equal(found, known[order]) for found, known in both)


def test_counts_are_divided_by_the_design_effect_and_by_what_is_left_of_the_sample():
    cards = table([100, 300], [60, 150])

    usual, double = sample(cards, Settings()), sample(cards, Settings(design_effect=2))

    left = 1 - np.array([0.25, 0.75])
    assert usual.evidence.games == pytest.approx(cards.games / DEFAULT_DESIGN_EFFECT / left)
    assert double.evidence.games == pytest.approx(cards.games / 2 / left)
    assert double.evidence.wins == pytest.approx(cards.wins / 2 / left)
    assert (usual.design_effect, double.design_effect) == (DEFAULT_DESIGN_EFFECT, 2)


def test_a_card_that_is_nearly_the_whole_sample_is_capped():
    found = strength(table([990, 10], [500, 5]), AS_RECORDED)

    assert found.sample.evidence.games == pytest.approx([990 / 0.1, 10 / 0.99])


def test_taken_at_face_value_own_effects_are_records():
    fitted = strength(pool(), AS_RECORDED)

    assert np.array_equal(fitted.own().mean, fitted.record().mean)
    assert fitted.own().sd == pytest.approx(fitted.record().sd)
    assert fitted.spread()[0] == pytest.approx(fitted.spread()[1])
    assert (fitted.allowance.share, fitted.allowance.left) == (1, 0)


@pytest.mark.parametrize("allowance", [0.1, 0.5, 0.8])
def test_a_smaller_allowance_draws_to_the_mean(allowance: float):
    fitted = strength(pool(), replace(AS_RECORDED, allowance=allowance))

    assert fitted.own().centre == pytest.approx(allowance * fitted.record().centre)
    assert np.array_equal(fitted.own().centre, fitted.own(allowance).centre)
    assert fitted.spread()[1] < fitted.spread()[0]
    assert fitted.allowance.share == pytest.approx(allowance)


@pytest.mark.parametrize("allowance", [0.25, 0.7])
def test_own_effects_are_as_uncertain_as_their_formula_says(allowance: float):
    fitted = strength(pool(), AS_RECORDED)

    # Lambda^2 s^2 + c lambda (1 - lambda) tau^2, with c = .45.
    of_record = (allowance * fitted.record_sd) ** 2
    unknown = 0.45 * allowance * (1 - allowance) * fitted.between
    assert fitted.own(allowance).sd ** 2 == pytest.approx(of_record + unknown)


def test_what_is_not_the_cards_own_leaves_its_effect_uncertain_forever():
    # With endless games the record is known; c lambda (1 - lambda) tau^2 is not.
    rates = expit(np.random.default_rng(5).normal(0, 0.2, size=25))
    cards = table([HUGE] * 25, (HUGE * rates).round())

    fitted = strength(cards, replace(AS_RECORDED, allowance=0.5))

    between = fitted.draw_weight @ fitted.between[: len(fitted.draw_weight), 0]
    left = np.sqrt(0.45 * 0.25 * between)
    assert fitted.own().scale == pytest.approx(np.full(25, left), rel=0.01)
    assert left == pytest.approx(np.sqrt(0.45 * 0.25) * 0.2, rel=0.3)


def test_the_variance_between_records_is_about_what_usage_makes_one_expect():
    # Three quarters vary by .1 about it; a quarter lies .4 lower and varies by .2.
    classes = Classes(
        log_share=np.log([[[0.75, 0.75]], [[0.25, 0.25]]]),
        mean=np.array([[[0.0, 0.1]], [[-0.4, -0.3]]]),
        sd=np.array([[[0.1]], [[0.2]]]),
    )

    assert _between(classes) == pytest.approx(0.75 * 0.01 + 0.25 * (0.04 + 0.16))


def test_games_can_remove_only_what_they_are_about():
    fitted = strength(pool(), replace(AS_RECORDED, allowance=0.6))

    assert fitted.removable() == pytest.approx((0.6 * fitted.record().scale) ** 2)
    assert np.all(fitted.removable() < fitted.own().scale ** 2)


@pytest.mark.parametrize("measure", ["held", "opening", "deck"])
def test_the_usual_allowance_depends_on_the_measure_and_on_known_factions(measure):
    mixed = strength(pool(), Settings(measure=measure))
    known = strength(pool(faction=["Cog", "Wick"] * 20), Settings(measure=measure))

    for fitted, factions in ((mixed, False), (known, True)):
        usual = usual_allowance(measure, factions=factions, strata=())
        share = fitted.draw_weight @ fitted.own_share[: len(fitted.draw_weight)]
        assert fitted.allowance == usual
        assert share == pytest.approx(usual.share, abs=0.005)
    assert (mixed.sample.company.names, known.sample.company.names) == ((), ("Cog", "Wick"))


def test_the_usual_allowance_is_itself_uncertain():
    fitted = strength(pool(20, spread=0.3))

    usual, unsure = fitted.allowance, fitted.own()
    sure = replace(fitted, own_share=np.full(fitted.own_share.shape, usual.share)).own()
    far = np.abs(sure.centre) > 0.1
    share = fitted.own_share[: len(fitted.draw_weight), 0]
    assert far.any()
    assert np.sqrt(fitted.draw_weight @ (share - usual.share) ** 2) == pytest.approx(
        usual.sd, abs=0.01
    )
    assert np.all(unsure.scale[far] > 1.01 * sure.scale[far])


@pytest.mark.parametrize(("played", "factions"), [(29, ()), (30, ("Cog", "Wick"))])
def test_cards_without_games_do_not_make_a_pool_large(played: int, factions):
    games = [200] * played + [0] * 20
    cards = table(
        games, [g // 2 for g in games], faction=["Cog", "Wick"] * 24 + ["Cog"] * (played - 28)
    )

    fitted = strength(cards)
    assert fitted.company.any() == bool(factions)
    assert fitted.sample.company.names == ("Cog", "Wick")


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
    assert abs(fitted.surprise().centre[:20].mean()) < 0.06


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


class HiddenCompany:
    """Records as the usual allowance has them: a share is the card's own, the rest is not."""

    def __init__(self, measure: str, games: int) -> None:
        self.settings = Settings(measure=measure, design_effect=1.0)
        self.usual = usual_allowance(measure, factions=False, strata=())
        places = [self.one(np.random.default_rng([7, seed]), games) for seed in range(8)]
        self.places = np.concatenate(places)

    def one(self, rng: np.random.Generator, games: int, cards: int = 60) -> np.ndarray:
        record = rng.normal(0, 0.2, cards)
        share = max(rng.normal(self.usual.share, self.usual.sd), 0.02)
        own = share * record + rng.normal(0, 0.2 * np.sqrt(self.usual.left), cards)
        wins = rng.binomial(games, expit(0.1 + record))
        fitted = strength(table([games] * cards, wins), self.settings)
        return fitted.own().below(own - own.mean())


@pytest.mark.parametrize("measure", ["held", "deck"])
@pytest.mark.parametrize("games", [400, 4000, 40_000])
def test_ranges_hold_nine_in_ten_truths_however_many_the_games(measure: str, games: int):
    places = HiddenCompany(measure, games).places

    assert 0.85 < np.mean((places > 0.05) & (places < 0.95)) < 0.96


def two_channels(share: float, *, cards: int = 60, games: int = 20_000, seed: int = 3):
    """Own effects beside company, so that records are own by a share; half is held."""
    rng = np.random.default_rng(seed)
    own = rng.normal(0, 0.15, cards)
    # The record of the decks is half of the own effect, and company.
    company = 0.075 * np.sqrt(1 / share - 1) * rng.standard_normal(cards)
    held = rng.binomial(games, expit(0.2 + own + company))
    rest = rng.binomial(games, expit(company))
    rows = {"unheld_games": [games] * cards, "unheld_wins": rest}
    return own - own.mean(), table([games] * cards, held, **rows)


@pytest.mark.parametrize("share", [0.3, 0.8])
def test_the_contrast_tells_own_effects_from_company(share: float):
    own, cards = two_channels(share)

    fitted, blind = strength(cards), strength(cards, Settings(allowance=1.0))

    assert fitted.allowance.is_learnt
    error, without = (np.std(each.own().centre - own) for each in (fitted, blind))
    assert error < 0.04
    assert error < 0.75 * without
    places = fitted.own().below(own)
    assert np.mean((places > 0.05) & (places < 0.95)) > 0.8


def test_the_share_of_a_record_is_learnt_from_the_contrast():
    # Slope of own effects on the decks' records, twice the share for half of the games.
    low, high = (strength(two_channels(share)[1]).allowance for share in (0.3, 0.8))

    assert low.share == pytest.approx(2 * 0.3, abs=0.2)
    assert high.share == pytest.approx(2 * 0.8, abs=0.25)


@pytest.mark.parametrize("measure", ["held", "deck"])
def test_a_measure_of_decks_has_smaller_effects_than_one_of_held_games(measure: str):
    own, cards = two_channels(0.5)
    decks = table(
        cards.games + cards.unheld_games,
        cards.wins + cards.unheld_wins,
        unheld_games=cards.unheld_games,
        unheld_wins=cards.unheld_wins,
    )

    fitted = strength(decks if measure == "deck" else cards, Settings(measure=measure))

    slope = np.polyfit(own, fitted.own().centre, 1)[0]
    assert slope == pytest.approx(0.5 if measure == "deck" else 1.0, rel=0.15)


def test_contrasts_are_counted_from_the_same_mean_as_records():
    # Strong cards have most games, so that the contrasts' own mean lies among them.
    rng = np.random.default_rng(6)
    own = np.linspace(-0.3, 0.3, 40)
    games = np.linspace(2000, 40_000, 40).round()
    won, left = rng.binomial(games.astype(int), expit([own, 0 * own]))
    cards = table(games, won, unheld_games=games, unheld_wins=left)

    fitted = strength(cards)
    record = fitted._by_record(fitted.allowance)
    seen, variance = fitted._contrast(record)

    weight = 1 / (variance + record.scale**2)
    assert np.average(fitted.sample.contrast.estimate) < -0.03
    assert np.average(seen - record.centre, weights=weight) == pytest.approx(0, abs=1e-9)


def test_a_level_of_decks_below_that_of_held_games_lowers_no_card():
    # Held games go better for every card: pace, which no card is to blame for.
    rng = np.random.default_rng(2)
    wins, rest = rng.binomial(1000, 0.56, 40), rng.binomial(1200, 0.5, 40)
    cards = table([1000] * 40, wins, unheld_games=[1200] * 40, unheld_wins=rest)

    found = estimates(strength(cards))

    assert found.mean() == pytest.approx(wins.mean() / 1000, abs=0.002)


def test_cards_that_nobody_could_compare_go_by_their_records():
    _, cards = two_channels(0.5)
    alone = table(
        [*cards.games, 4000, 4000],
        [*cards.wins, 1600, 2600],
        unheld_games=[*cards.unheld_games, 0, 0],
        unheld_wins=[*cards.unheld_wins, 0, 0],
    )

    own = strength(alone).own()

    assert own.centre[-2] < -0.1
    assert own.centre[-1] > 0.1
    assert np.all(own.scale[-2:] > 1.5 * own.scale[:-2].max())


def test_with_a_contrast_games_can_remove_all_but_what_skill_leaves_open():
    cards = held_by_experts()
    rest = {"unheld_games": cards.games + 10, "unheld_wins": cards.wins}
    both = CardTable(cards.card, cards.games, cards.wins, skill_band=cards.skill_band, **rest)

    here, far = (strength(both, Settings(target=target)) for target in ("sample", "new"))

    _, by_skill = far.sample.slopes.shift(far.target.level)
    assert by_skill.max() > 1e-3
    assert far.removable() == pytest.approx(far.own().scale ** 2 - by_skill)
    assert here.removable() != pytest.approx(here.own().scale ** 2, rel=1e-3)


def held_by_experts(cards: int = 40) -> CardTable:
    """Experts win 60 %, new players 45 %; only experts hold the first two cards.

    The first is average, the second eight points worse.
    """
    rng = np.random.default_rng(1)
    own = rng.normal(0, 0.02, cards)
    rows = [("card 0", 6000, 3600, "expert"), ("card 1", 6000, 3120, "expert")]
    for band, level in (("new", 0.45), ("expert", 0.6)):
        wins = rng.binomial(3000, level + own[2:])
        rows += [(f"card {i + 2}", 3000, won, band) for i, won in enumerate(wins)]
    card, games, wins, bands = zip(*rows, strict=True)
    return CardTable(card, games, wins, skill_band=bands)


def test_a_card_that_only_experts_hold_is_not_flattered():
    fitted = strength(held_by_experts())

    # Its raw rate lies seven points above the mean.
    mean, own = fitted.target.mean, fitted.own()
    assert 0.6 - mean > 0.06
    assert abs(estimates(fitted)[0] - mean) < 0.01
    assert estimates(fitted)[1] < mean - 0.03
    assert own.scale[0] > 1.1 * np.median(own.scale[2:])


def test_ranges_widen_with_the_distance_from_a_cards_own_players():
    cards = held_by_experts()

    scale = {
        target: strength(cards, Settings(target=target)).own().scale
        for target in ("expert", "sample", "even", "new")
    }

    for card in (0, 1):
        own = [scale[target][card] for target in ("expert", "sample", "even", "new")]
        assert np.all(np.diff(own) > 0)
    # The others are held by all alike: in the middle they are known best.
    assert scale["sample"][2:].mean() < scale["new"][2:].mean()


@pytest.mark.parametrize("target", ["sample", "even", "new", "expert", "new:3, expert:1"])
def test_average_cards_win_what_the_target_wins(target: str):
    fitted = strength(held_by_experts(), Settings(target=target))

    weight = fitted.sample.evidence.games
    assert fitted.rate(0.0) == pytest.approx(fitted.target.mean)
    assert np.average(estimates(fitted), weights=weight) == pytest.approx(
        fitted.target.mean, abs=0.002
    )


def test_effects_are_centred_after_they_are_shifted():
    # What skill adds to all cards alike is the players' doing.
    fitted = strength(sloping(against=20_000))
    games = fitted.sample.evidence.games

    levels = [fitted.own(level=level).centre for level in (-0.4, 0.0, 0.4)]

    means = [np.average(each, weights=games) for each in levels]
    slope = fitted.sample.slopes.mean
    assert abs(np.average(slope, weights=games)) > 0.1
    assert means == pytest.approx([means[1]] * 3, abs=1e-9)
    assert np.abs(levels[0] - levels[2]).max() > 0.2


def sloping(cards: int = 40, *, against: int = 6000) -> CardTable:
    """Ten cards lose in new hands and win in experts'; ten others do the opposite."""
    rng = np.random.default_rng(3)
    slope = np.repeat([0.8, -0.8, 0.0, 0.0], cards // 4)
    bands, rows = {"new": -0.3, "expert": 0.3}, []
    for band, level in bands.items():
        games = np.where(slope < 0, against, 6000)
        wins = rng.binomial(games, expit(0.1 + level + slope * level))
        rows += [(f"card {i}", games[i], won, band) for i, won in enumerate(wins)]
    card, games, wins, names = zip(*rows, strict=True)
    return CardTable(card, games, wins, skill_band=names)


def test_effects_are_those_in_the_hands_asked_for():
    new, expert = (
        strength(sloping(), Settings(target=band)).own().centre for band in ("new", "expert")
    )

    assert np.all(new[:10] < -0.15)
    assert np.all(expert[:10] > 0.15)
    assert np.all(new[10:20] > 0.15)
    assert np.abs(new[20:]).max() < 0.1


def weak_home(cards: int = 40) -> CardTable:
    """Half of the cards live in an archetype that fails; the first is strong there."""
    rng = np.random.default_rng(5)
    own = rng.normal(0, 0.05, cards)
    own[0] = 0.15
    home = np.where(np.arange(cards) < cards // 2, "Toads", "Kites")
    level = np.where(home == "Toads", -0.5, 0.3)
    wins = rng.binomial(9000, expit(0.1 + level + own))
    return table([9000] * cards, wins, archetype=home.tolist())


def test_a_strong_card_of_a_failing_archetype_is_strong():
    cards = weak_home()

    fitted = strength(cards, Settings(allowance=0.6))

    assert cards.wins[0] / 9000 < fitted.target.mean - 0.05
    assert estimates(fitted)[0] > fitted.target.mean + 0.01
    assert np.argmax(fitted.own().centre) == 0


@pytest.mark.parametrize("unheld", [False, True])
@pytest.mark.parametrize("won", [0, 1])
@pytest.mark.parametrize("strata", DETAILS)
def test_is_finite_where_everything_is_won_or_lost(strata, won: int, unheld: bool):
    cards = detailed(strata, unheld=unheld)
    columns = {name: getattr(cards, name) for name in COLUMNS}
    if unheld:
        columns["unheld_wins"] = won * cards.unheld_games
    same = CardTable(cards.card, cards.games, won * cards.games, **columns)

    own = strength(same).own()

    assert np.isfinite([own.centre, own.scale]).all()
    assert np.all(own.scale > 0)
