"""Judged pools made by hand, consistent as the model's are."""

from collections.abc import Callable
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from tests.report.archetype_pools import POOL as ARCHETYPES
from winrate_tools.decide.cards.beliefs import Beliefs
from winrate_tools.decide.cards.outlook import Outlook
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.tables import Source

MakeCard = Callable[..., CardVerdict]
MakePool = Callable[..., PoolVerdict]


def judged(
    name: str,
    estimate: float,
    spread: float = 0.01,
    *,
    line: float = 0.49,
    sure: float = 0.9,
    games: int | None = 400,
    **facts: object,
) -> CardVerdict:
    """Judge a card whose value is normal about its estimate."""
    value = NormalDist(estimate, spread)
    below = value.cdf(line)
    verdict = "cut" if below >= sure else "keep" if below <= 1 - sure else "more games"
    if not games:
        verdict = "more games"
    standard: dict[str, object] = {
        "card": name,
        "faction": None,
        "rarity": "common",
        "role": None,
        "games": games,
        "wins": None if games is None else round(games * estimate),
        "win_rate": estimate - 0.004 if games else None,
        "estimate": estimate,
        "low": value.inv_cdf(1 - sure),
        "high": value.inv_cdf(sure),
        "chance_below": below,
        "rank_low": 1,
        "rank_high": 9,
        "chance_worst": below / 2,
        "group": 1,
        "verdict": verdict,
        "reasons": {"cut": ("weak",), "keep": (), "more games": ("few games",)}[verdict],
        "games_needed": 1234 if verdict == "more games" else 0,
        "usage": None,
        "flips_at": None,
        "homes": (),
    }
    return CardVerdict(**{**standard, **facts})


def pooled(*cards: CardVerdict, **facts: object) -> PoolVerdict:
    """Put cards into a pool, weakest first."""
    standard: dict[str, object] = {
        "cards": tuple(sorted(cards, key=lambda card: card.estimate)),
        "baseline": 0.51,
        "baseline_origin": "sample",
        "sample_mean": 0.51,
        "target": "sample",
        "margin": 0.02,
        "line": 0.49,
        "sure": 0.9,
        "measure": "held",
        "shortlist": 3,
        "expected_wrong": sum(1 - c.chance_below for c in cards if c.verdict == "cut"),
        "spread": 0.0187,
        "real_share": 0.34,
        "allowance": 0.4,
        "archetypes": None,
        "outlook": (Outlook(1, 4.0, 0.0), Outlook(10, 5.5, 1.75), Outlook(100, 6.4, 2.5)),
        "tolerable": 3,
        "has_unheld": False,
        "is_learnt": False,
        "design_effect": 1.4,
        "usage_columns": ("mean_pick", "played"),
        "use_known": ("mean_pick", "played"),
        "factions": (),
        "strata": (),
        "bands": (),
        "seed": 1,
        "warnings": (),
    }
    ordered = standard["cards"]
    return PoolVerdict(**{**standard, "beliefs": believed(ordered), **facts})


def believed(cards: tuple[CardVerdict, ...]) -> Beliefs:
    """Believe of each card what its estimate and range say, near enough."""
    rates = np.array([(card.low, card.estimate, card.high) for card in cards]).reshape(-1, 3).T
    rates = np.clip(rates, 1e-6, 1 - 1e-6)
    low, centre, high = np.log(rates / (1 - rates)) - np.log(0.51 / 0.49)
    sd = (high - low) / 2 / NormalDist().inv_cdf(0.9)
    draws = np.random.default_rng(1).normal(centre, sd, size=(200, len(cards)))
    return Beliefs(NormalMixture(np.ones((1, len(cards))), centre[None], sd[None]), 0.51, draws)


@pytest.fixture(scope="module")
def make_card() -> MakeCard:
    return judged


@pytest.fixture(scope="module")
def make_pool() -> MakePool:
    return pooled


@pytest.fixture
def pool() -> PoolVerdict:
    return pooled(
        judged("Ember Oracle", 0.436, 0.02, games=270, flips_at=0.12, usage=-0.4),
        judged("Tin Moth", 0.462, 0.012, games=1840, reasons=("weak", "trap"), usage=1.6),
        judged("Ash Vine", 0.481, 0.012, games=812),
        judged("Lantern Keeper of Tin Lane", 0.4895, 0.002, games_needed=None, games=61240),
        judged("Lantern Keeper of Ash Lane", 0.507, 0.02, games=95, games_needed=87),
        judged("a|b <i>", 0.53, 0.01),
        judged(
            "Paper Kite", 0.51, 0.03, games=0, reasons=("unplayed", "few games"), usage=-1.8
        ),
        judged("River Bell", 0.561, 0.012, games=2210),
    )


@pytest.fixture
def illustrated_pool(pool) -> PoolVerdict:
    """A pool that has something for every figure."""
    return replace(pool, archetypes=ARCHETYPES)


@pytest.fixture
def source() -> Source:
    return Source(
        name="cards.csv",
        sha256="ab" * 32,
        roles={"card": "Karte", "games": "Spiele", "wins": "Siege"},
        notes=("The row Total was left out.",),
    )
