"""Judge pools whose truth is known, and score the judgement."""

from collections.abc import Iterable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.rules import Rule
from winrate_tools.settings import Measure, Settings
from winrate_tools.simulate.history import card_table, simulate, true_effects
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.beta_binomial import beta_binomial
from winrate_tools.stats.strength import Strength, strength
from winrate_tools.tables import CardTable

Numbers = npt.NDArray[np.float64]
WORST = 20
COVER_LEVEL = 0.9


@dataclass(frozen=True, slots=True)
class Score:
    """What one judged world scored; rates of the sample, in points where not a share.

    Regret is the mean true strength of the 20 cards that an estimate calls weakest, less that
    of the 20 that are.
    """

    games: int
    raw_regret: float
    plain_regret: float
    regret: float
    cover: float
    cuts: float
    stated_wrong: float
    wrong: float
    keeps: float
    wrong_keeps: float


def score_world(seed: int, games: int, measure: Measure) -> Score:
    """Simulate one random world, judge its card totals, and score them."""
    world = random_world(np.random.default_rng([seed, games]), games=games)
    simulation = simulate(world, seed)
    table = card_table(simulation, measure)
    settings = Settings(measure=measure)
    fitted = strength(table, settings)
    truth = fitted.rate(true_effects(simulation, measure))
    return _score(table, fitted, truth, settings, games)


def _score(
    table: CardTable, fitted: Strength, truth: Numbers, settings: Settings, games: int
) -> Score:
    own, played = fitted.own(), table.games > 0
    line = fitted.level.rate - settings.margin_used
    chance = own.below(float(fitted.effect(line)))
    rule = Rule(line, settings.sure)
    verdicts = np.array(
        [rule.verdict(p, has_games=bool(n)) for p, n in zip(chance, played, strict=True)]
    )
    cut, keep = verdicts == "cut", verdicts == "keep"
    low = fitted.rate(own.quantile((1 - COVER_LEVEL) / 2))
    high = fitted.rate(own.quantile((1 + COVER_LEVEL) / 2))
    raw = np.where(played, table.wins / np.maximum(table.games, 1), 1.0)
    plain = beta_binomial(table.wins, table.games).posterior_mean(table.wins, table.games)
    return Score(
        games=games,
        raw_regret=_regret(truth, raw),
        plain_regret=_regret(truth, plain),
        regret=_regret(truth, own.centre),
        cover=float(((truth > low) & (truth < high)).mean()),
        cuts=float(cut.sum()),
        stated_wrong=float((1 - chance)[cut].sum()),
        wrong=float((truth[cut] >= line).sum()),
        keeps=float(keep.sum()),
        wrong_keeps=float((truth[keep] < line).sum()),
    )


def _regret(truth: Numbers, estimate: Numbers) -> float:
    chosen = np.argsort(estimate, kind="stable")[:WORST]
    return float(100 * (truth[chosen].mean() - np.sort(truth)[:WORST].mean()))


def mean_score(scores: Iterable[Score]) -> Score:
    """Average scores field by field."""
    rows = list(scores)
    names = [field.name for field in fields(Score)]
    return Score(*(float(np.mean([getattr(row, name) for row in rows])) for name in names))


def as_line(label: str, score: Score) -> str:
    """One line of the table that the slow test prints."""
    return (
        f"{label:>10}  regret raw {score.raw_regret:.2f} plain {score.plain_regret:.2f} "
        f"ours {score.regret:.2f} ({score.regret / score.raw_regret:.2f} of raw)  "
        f"cover {score.cover:.3f}  cuts {score.cuts:.1f} "
        f"stated wrong {score.stated_wrong / max(score.cuts, 1e-9):.3f} "
        f"wrong {score.wrong / max(score.cuts, 1e-9):.3f}  "
        f"keeps {score.keeps:.0f} wrong {score.wrong_keeps / max(score.keeps, 1e-9):.3f}"
    )
