"""Judged archetypes made by hand, consistent as the model's are."""

from statistics import NormalDist

from winrate_tools.decide.archetypes.archetype_verdicts import (
    ArchetypePool,
    ArchetypeVerdict,
    CardPull,
)
from winrate_tools.decide.archetypes.archetypes import call

LOW, MEAN, HIGH = 0.53, 0.55, 0.57


def judged(
    name: str, estimate: float, spread: float = 0.01, *, sure: float = 0.9, **facts: object
) -> ArchetypeVerdict:
    """Judge an archetype whose value is normal about its estimate."""
    value = NormalDist(estimate, spread)
    below, above = value.cdf(LOW), 1 - value.cdf(HIGH)
    verdict = call(below, above, sure)
    standard: dict[str, object] = {
        "archetype": name,
        "factions": None,
        "games": 12_345,
        "wins": round(12_345 * estimate),
        "win_rate": estimate - 0.004,
        "play_share": 0.2,
        "estimate": estimate,
        "low": value.inv_cdf(1 - sure),
        "high": value.inv_cdf(sure),
        "chance_below": below,
        "chance_above": above,
        "verdict": verdict,
        "cards_part": 0.004,
        "cards_low": -0.006,
        "cards_high": 0.014,
        "own_part": estimate - MEAN - 0.004,
        "own_low": estimate - MEAN - 0.02,
        "own_high": estimate - MEAN + 0.012,
        "games_needed": 4321 if verdict == "unsettled" else 0,
        "drags": (
            CardPull("Tin Moth", -0.0031, -0.0052, -0.001, 0.97),
            CardPull("a|b", -0.001, -0.0034, 0.0014, 0.7),
        ),
        "carries": (CardPull("Elm Bell", 0.0052, 0.003, 0.0074, 0.999),),
    }
    return ArchetypeVerdict(**{**standard, **facts})


def pooled(*archetypes: ArchetypeVerdict, **facts: object) -> ArchetypePool:
    """Put archetypes into a pool, weakest first."""
    standard: dict[str, object] = {
        "archetypes": tuple(sorted(archetypes, key=lambda one: one.estimate)),
        "mean": MEAN,
        "margin": 0.02,
        "low_line": LOW,
        "high_line": HIGH,
        "sure": 0.9,
        "balanced": 0.8,
        "spread": 0.03,
        "measure": "held",
        "counted": None,
        "skill_bands": ("new", "expert"),
        "design_effect": 1.28,
        "seed": 1,
        "warnings": (),
    }
    return ArchetypePool(**{**standard, **facts})


POOL = pooled(
    judged("Bells", 0.504),
    judged("Kites", 0.533),
    judged("=Moths", 0.551),
    judged("Tides", 0.5695, 0.004),
    judged("Runes", 0.592),
    judged("Looms", 0.56, 0.05, games=0, wins=0, win_rate=None, verdict="unsettled"),
)
