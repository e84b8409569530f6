"""Judge pools whose truth is known, and score the judgement."""

from collections.abc import Iterable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.cards.rules import Rule
from winrate_tools.settings import Measure, Settings
from winrate_tools.simulate.history import card_table, simulate, true_effects
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.stats.records.beta_binomial import beta_binomial

Numbers = npt.NDArray[np.float64]
WORST = 20
COVER_LEVEL = 0.9


@dataclass(frozen=True, slots=True)
class Detail:
    """What a table tells: which games count, by what rows are split, and unheld games."""

    measure: Measure
    strata: tuple[str, ...] = ()
    unheld: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """What one judged world scored; in points of win rate where not a share or a count.

    Regret is the mean true strength of the 20 cards that an estimate calls weakest, less that
    of the 20 that are.
    """

    games: float
    raw_regret: float
    plain_regret: float
    regret: float
    cover: float
    cuts: float
    cuts_covered: float
    stated_wrong: float
    wrong: float
    keeps: float
    wrong_keeps: float


def score_world(seed: int, games: int, detail: Detail) -> Score:
    """Simulate one random world, judge its table, and score the verdicts."""
    world = random_world(np.random.default_rng([seed, games]), games=games)
    simulation = simulate(world, seed)
    table = card_table(simulation, detail.measure, detail.strata, unheld=detail.unheld)
    settings = Settings(measure=detail.measure)
    fitted = strength(table, settings)
    truth = fitted.rate(true_effects(simulation, detail.measure))
    return score(fitted, truth, settings, games)


def score(fitted: Strength, truth: Numbers, settings: Settings, games: int) -> Score:
    """Score the verdicts that a fit leads to."""
    own, totals = fitted.own(), fitted.sample.totals
    played = totals.games > 0
    line = fitted.target.baseline - settings.margin_used
    chance = own.below(float(fitted.effect(line)))
    rule = Rule(line, settings.sure)
    verdicts = np.array(
        [rule.verdict(p, has_games=bool(n)) for p, n in zip(chance, played, strict=True)]
    )
    cut, keep = verdicts == "cut", verdicts == "keep"
    low = fitted.rate(own.quantile((1 - COVER_LEVEL) / 2))
    high = fitted.rate(own.quantile((1 + COVER_LEVEL) / 2))
    covered = (truth > low) & (truth < high)
    raw = np.where(played, totals.wins / np.maximum(totals.games, 1), 1.0)
    plain = beta_binomial(totals.wins, totals.games)
    return Score(
        games=games,
        raw_regret=_regret(truth, raw),
        plain_regret=_regret(truth, plain.posterior_mean(totals.wins, totals.games)),
        regret=_regret(truth, own.centre),
        cover=float(covered.mean()),
        cuts=float(cut.sum()),
        cuts_covered=float(covered[cut].sum()),
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
    cuts, keeps = max(score.cuts, 1e-9), max(score.keeps, 1e-9)
    return (
        f"| {label} | {score.raw_regret:.2f} | {score.plain_regret:.2f} | {score.regret:.2f} "
        f"| {score.regret / score.raw_regret:.2f} | {100 * score.cover:.1f} "
        f"| {100 * score.cuts_covered / cuts:.0f} | {score.cuts:.1f} "
        f"| {100 * score.stated_wrong / cuts:.1f} | {100 * score.wrong / cuts:.1f} "
        f"| {score.keeps:.0f} | {100 * score.wrong_keeps / keeps:.1f} |"
    )
