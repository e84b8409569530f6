"""From estimates to verdicts: what to cut, what to keep, what needs more games."""

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.reasons import reasons, signs
from winrate_tools.decide.rules import Rule
from winrate_tools.decide.verdicts import CardVerdict, Caution, PoolVerdict
from winrate_tools.errors import SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.many import expected_wrong
from winrate_tools.stats.ranks import ranks
from winrate_tools.stats.settling import Standing, games_to_settle
from winrate_tools.stats.strength import Strength, strength
from winrate_tools.tables import CardTable, Labels

RANK_DRAWS = 2000
FEWEST_CARDS = 10
FAR_BASELINE = 0.02
ALLOWANCES = np.linspace(0.05, 1, 20)


def judge(table: CardTable, settings: Settings | None = None) -> PoolVerdict:
    """Judge every card of a pool from its totals.

    Parameters
    ----------
    table : CardTable
        Any rows; those of one card are added up.
    settings : Settings, optional
        Line, sureness and assumptions.

    Returns
    -------
    PoolVerdict
        Cards from the weakest estimate up.

    Raises
    ------
    FitError
        If the table cannot carry an estimate.
    SettingError
        If the margin leaves no room below the baseline.

    Examples
    --------
    >>> table = CardTable(["Ash Vine", "Tin Moth"], [4000, 4000], [1600, 2400])
    >>> pool = judge(table, Settings(allowance=1))
    >>> [(card.card, card.verdict) for card in pool.cards]
    [('Ash Vine', 'cut'), ('Tin Moth', 'keep')]
    """
    settings = settings or Settings()
    totals = table.totals()
    fitted = strength(totals, settings)
    level = fitted.level
    line = level.rate - settings.margin_used
    if line <= 0:
        room = f"below the baseline ({level.rate:.4f})"
        msg = f"margin must be {room}, got {settings.margin_used}"
        raise SettingError(msg)
    cards = _judged(totals, fitted, Rule(line, settings.sure), settings)
    record_spread, own_spread = fitted.spread()
    return PoolVerdict(
        cards=cards,
        baseline=level.rate,
        baseline_origin=settings.baseline if isinstance(settings.baseline, str) else "given",
        sample_mean=level.sample_mean,
        margin=settings.margin_used,
        line=line,
        sure=settings.sure,
        measure=settings.measure,
        shortlist=settings.shortlist,
        expected_wrong=expected_wrong([c.chance_below for c in cards if c.verdict == "cut"]),
        spread=own_spread * level.sample_mean * (1 - level.sample_mean),
        real_share=_real_share(fitted, record_spread, own_spread),
        allowance=fitted.allowance,
        design_effect=fitted.design_effect,
        usage_columns=fitted.usage.columns,
        factions=fitted.factions,
        seed=settings.seed,
        warnings=_warnings(fitted),
    )


def _judged(
    table: CardTable, fitted: Strength, rule: Rule, settings: Settings
) -> tuple[CardVerdict, ...]:
    own, line = fitted.own(), float(fitted.effect(rule.line))
    chance = own.below(line)
    has_games = fitted.evidence.games > 0
    verdicts = [
        rule.verdict(p, has_games=bool(some)) for p, some in zip(chance, has_games, strict=True)
    ]
    places = ranks(fitted.draws(RANK_DRAWS, settings.seed), worst=settings.shortlist)
    needed = games_to_settle(_standing(fitted, line, rule.sure))
    marks = signs(table, fitted, line)
    flips = _flips(fitted, line, rule.sure, has_games)
    low, high = fitted.rate(own.quantile(1 - rule.sure)), fitted.rate(own.quantile(rule.sure))
    estimate = fitted.rate(own.centre)

    def card(i: int) -> CardVerdict:
        settled = verdicts[i] != "more games"
        wait = 0 if settled else _whole(needed[i])
        return CardVerdict(
            card=table.card[i],
            faction=_label(table.faction, i),
            rarity=_label(table.rarity, i),
            role=_label(table.role, i),
            games=_whole(table.games[i]),
            wins=_whole(table.wins[i]),
            win_rate=float(table.wins[i] / table.games[i]) if has_games[i] else None,
            estimate=float(estimate[i]),
            low=float(low[i]),
            high=float(high[i]),
            chance_below=float(chance[i]),
            rank_low=int(places.low[i]),
            rank_high=int(places.high[i]),
            chance_worst=float(places.chance_worst[i]),
            verdict=verdicts[i],
            reasons=reasons(marks, i, verdicts[i], chance[i], settles=wait is not None),
            games_needed=wait,
            usage=float(fitted.usage.score[i]) if fitted.usage.known[i] else None,
            flips_at=flips[i],
        )

    return tuple(card(int(i)) for i in np.argsort(estimate, kind="stable"))


def _label(labels: Labels | None, card: int) -> str | None:
    return None if labels is None else labels[card]


def _whole(number: float) -> int | None:
    return int(number) if np.isfinite(number) else None


def _standing(fitted: Strength, line: float, sure: float) -> Standing:
    own, mean = fitted.own(), fitted.level.sample_mean
    information = mean * (1 - mean) / fitted.design_effect
    return Standing(
        own.centre, own.scale, fitted.removable(), line, sure, fitted.allowance, information
    )


def _flips(
    fitted: Strength, line: float, sure: float, has_games: npt.NDArray[np.bool_]
) -> list[float | None]:
    """For each card, the allowance nearest to the one used that makes or unmakes a cut."""
    cut = np.array([fitted.own(share).below(line) >= sure for share in ALLOWANCES])
    now = fitted.own().below(line) >= sure
    distance = np.where(cut != now, np.abs(ALLOWANCES - fitted.allowance)[:, None], np.inf)
    nearest = distance.argmin(axis=0)
    flips = np.isfinite(distance.min(axis=0)) & has_games
    return [
        round(float(ALLOWANCES[j]), 2) if flip else None
        for j, flip in zip(nearest, flips, strict=True)
    ]


def _real_share(fitted: Strength, record_spread: float, own_spread: float) -> float:
    """Share of the variance between raw win rates that is the cards' own (rankability).

    van Dishoeck, A. M. et al. (2011), BMC Medical Research Methodology 11:21 (from memory):
    the variance between items over itself and the median variance of one item's record.
    """
    games = fitted.evidence.games[fitted.evidence.games > 0]
    mean = fitted.level.sample_mean
    chance = np.median(1 / (games * mean * (1 - mean)))
    return float(own_spread**2 / (record_spread**2 + chance))


def _warnings(fitted: Strength) -> tuple[Caution, ...]:
    level = fitted.level
    found: dict[Caution, bool] = {
        "few cards": int((fitted.evidence.games > 0).sum()) < FEWEST_CARDS,
        "baseline too low": level.sample_mean - level.rate > FAR_BASELINE,
        "baseline too high": level.rate - level.sample_mean > FAR_BASELINE,
        "no usage": not fitted.usage.columns,
        "no factions": not fitted.factions,
    }
    return tuple(caution for caution, holds in found.items() if holds)
