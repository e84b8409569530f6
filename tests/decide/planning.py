"""Judged pools, pools and candidates made by hand, for tests of plans."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool, ArchetypeVerdict
from winrate_tools.decide.cards.beliefs import Beliefs
from winrate_tools.decide.cards.homes import HomeRecord
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.decide.plan.program import Bends, Limit, Program
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.pools import PoolCard
from winrate_tools.stats.cards.mixture import NormalMixture

MEAN, LINE, SURE = 0.5, 0.48, 0.9
DRAWS = 200


def spread(mean: float, sd: float, *, shift: int = 0) -> np.ndarray:
    """Normal quantiles in a mixed order, other orders by `shift`: draws without chance."""
    from statistics import NormalDist

    normal = NormalDist(mean, max(sd, 1e-9))
    values = [normal.inv_cdf((i + 0.5) / DRAWS) for i in range(DRAWS)]
    return np.array(values)[(np.arange(DRAWS) * (37 + 2 * shift)) % DRAWS]


def card_verdict(
    name: str, *, homes: dict[str, int] | None = None, **facts: object
) -> CardVerdict:
    standard: dict[str, object] = {
        **dict.fromkeys(("faction", "rarity", "role", "usage", "flips_at")),
        **dict.fromkeys(("estimate", "low", "high"), MEAN),
        **dict.fromkeys(("rank_low", "rank_high", "group"), 1),
        "games": 900,
        "wins": 450,
        "win_rate": 0.5,
        "chance_below": 0.2,
        "chance_worst": 0.1,
        "verdict": "keep",
        "reasons": (),
        "games_needed": 0,
    }
    records = tuple(
        HomeRecord(home, games, games // 2, MEAN) for home, games in (homes or {}).items()
    )
    return CardVerdict(card=name, homes=records, **{**standard, **facts})  # type: ignore[arg-type]


def archetype(
    name: str, estimate: float, *, games: int = 900, wide: float = 0.01, share: float = 0.5
) -> ArchetypeVerdict:
    parts = ("cards_part", "cards_low", "cards_high", "own_part", "own_low", "own_high")
    return ArchetypeVerdict(
        archetype=name,
        factions=None,
        games=games,
        wins=games // 2,
        win_rate=0.5,
        play_share=share,
        estimate=estimate,
        low=estimate - wide,
        high=estimate + wide,
        chance_below=0.0,
        chance_above=0.0,
        verdict="unsettled",
        games_needed=None,
        drags=(),
        carries=(),
        **dict.fromkeys(parts, 0.0),  # type: ignore[arg-type]
    )


def archetypes(*all_of_them: ArchetypeVerdict, **facts: object) -> ArchetypePool:
    standard: dict[str, object] = {
        "archetypes": all_of_them,
        "mean": MEAN,
        "margin": 0.02,
        "low_line": 0.48,
        "high_line": 0.52,
        "sure": SURE,
        "balanced": 0.8,
        "spread": 0.02,
        "measure": "held",
        "counted": None,
        "skill_bands": (),
        "design_effect": 1.0,
        "seed": 1,
        "warnings": (),
    }
    return ArchetypePool(**{**standard, **facts})  # type: ignore[arg-type]


def pool_verdict(
    cards: Sequence[CardVerdict], effects: Sequence[np.ndarray], **facts: object
) -> PoolVerdict:
    """Judge a pool, each card's numbers being those of its draws."""
    none = np.zeros((1, len(cards)))
    standard: dict[str, object] = {
        **dict.fromkeys(PoolVerdict.__dataclass_fields__),
        "cards": tuple(_told(*pair) for pair in zip(cards, effects, strict=True)),
        "baseline": MEAN,
        "line": LINE,
        "margin": MEAN - LINE,
        "sample_mean": MEAN,
        "sure": SURE,
        "measure": "held",
        "spread": 0.02,
        "allowance": 0.5,
        "is_learnt": False,
        "archetypes": None,
        "seed": 1,
        "warnings": (),
        "strata": (),
        "bands": (),
        "outlook": (),
        "beliefs": Beliefs(
            NormalMixture(none + 1, none, none + 0.1), MEAN, np.column_stack(list(effects))
        ),
    }
    return PoolVerdict(**{**standard, **facts})  # type: ignore[arg-type]


def _told(card: CardVerdict, effect: np.ndarray) -> CardVerdict:
    low, high = (rate(np.quantile(effect, level)) for level in (1 - SURE, SURE))
    below = float((rate(effect) < LINE).mean())
    return replace(card, estimate=rate(effect.mean()), low=low, high=high, chance_below=below)


def rate(effect: np.ndarray) -> np.ndarray:
    """Return the win rate that an effect on the log-odds brings."""
    return 1 / (1 + (1 - MEAN) / MEAN * np.exp(-effect))


def stock(
    cards: Sequence[PoolCard],
    before: Sequence[int],
    effects: Sequence[float],
    *,
    verdicts: Sequence[CardVerdict | None] | None = None,
    sd: float = 0.0,
    unknown: tuple[str, ...] = (),
) -> Stock:
    columns = [spread(mean, sd, shift=i) for i, mean in enumerate(effects)]
    return Stock(
        cards=tuple(cards),
        verdicts=tuple(verdicts or [None] * len(cards)),
        before=np.array(before, dtype=np.int64),
        effects=np.column_stack(columns),
        mean=MEAN,
        unknown=unknown,
        in_pool=(),
        elsewhere=(),
    )


def no_bends(items: int) -> Bends:
    return Bends.none(items)


def program(
    before: Sequence[int],
    levels: Sequence[Sequence[int]],
    worth: Sequence[Sequence[float]],
    *limits: Limit,
    bends: Bends | None = None,
    cost: float = 0.0,
) -> Program:
    items = len(before)
    return Program(
        np.array(before, dtype=np.int64),
        tuple(map(tuple, levels)),
        np.array(worth, dtype=np.float64),
        *[np.full(items, cost)] * 2,
        bends or no_bends(items),
        limits,
    )


def allows(problem: Program, after: np.ndarray) -> bool:
    """Tell whether a choice keeps within all limits, each item at one of its levels."""
    inside = all(count in known for count, known in zip(after, problem.levels, strict=True))
    return inside and all(limit.holds(problem.before, after) for limit in problem.limits)
