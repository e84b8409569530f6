"""From estimates to verdicts: what to cut, what to keep, what needs more games."""

from dataclasses import replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.archetypes.archetypes import judge_archetypes
from winrate_tools.decide.cards.beliefs import Beliefs
from winrate_tools.decide.cards.doubts import doubts, factions, usage_columns
from winrate_tools.decide.cards.homes import home_records
from winrate_tools.decide.cards.outlook import outlook
from winrate_tools.decide.cards.reasons import reasons, signs
from winrate_tools.decide.cards.rules import Rule
from winrate_tools.decide.cards.sensitivity import allowance_flips, other_flips
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import FitError, SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.grades import grades
from winrate_tools.stats.cards.many import expected_wrong, largest_list
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.cards.ranks import ranks
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.stats.planning.settling import Standing, games_to_settle
from winrate_tools.tables import ArchetypeTable, CardTable, Labels

Numbers = npt.NDArray[np.float64]
RANK_DRAWS = 2000
LARGEST_SHORTLIST = 3
"""The shortlist is at most this part of the pool: one in so many cards."""
TOLERATED = 0.1
"""Share of a list that may be expected to be wrong."""


def judge(
    table: CardTable,
    settings: Settings | None = None,
    *,
    archetypes: ArchetypeTable | None = None,
) -> PoolVerdict:
    """Judge every card of a pool, at whatever detail its counts have.

    Parameters
    ----------
    table : CardTable
        Rows by card, or by card within archetype, skill band or both.
    settings : Settings, optional
        Line, sureness and assumptions.
    archetypes : ArchetypeTable, optional
        Games and wins of whole decks, for the verdicts on archetypes.

    Returns
    -------
    PoolVerdict
        Cards from the weakest estimate up.

    Raises
    ------
    FitError
        If the table cannot carry an estimate, or its only card with games would be held
        against its own mean.
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
    fitted = strength(table, settings)
    if (fitted.sample.evidence.games > 0).sum() == 1 and settings.baseline == "sample":
        msg = "only one card has games, and its own mean is no baseline for it: give one"
        raise FitError(msg)
    shortlist = min(settings.shortlist, max(1, len(fitted.sample.totals) // LARGEST_SHORTLIST))
    target, mean = fitted.target, fitted.target.mean
    line = _line(target.baseline, settings.margin_used)
    draws = fitted.draws(RANK_DRAWS, settings.seed)
    judged = _judged(fitted, Rule(line, settings.sure), shortlist, draws)
    order = np.argsort([card.estimate for card in judged], kind="stable")
    homes = home_records(table)
    cards = tuple(replace(judged[i], homes=homes.get(judged[i].card, ())) for i in order)
    own_spread, limits = fitted.spread()[1], doubts(fitted)
    standing = _standing(fitted, float(fitted.effect(line)), settings.sure)
    return PoolVerdict(
        cards=cards,
        baseline=target.baseline,
        baseline_origin=_origin(settings),
        sample_mean=fitted.sample.level.sample_mean,
        target=target.name,
        margin=settings.margin_used,
        line=line,
        sure=settings.sure,
        measure=settings.measure,
        shortlist=shortlist,
        expected_wrong=expected_wrong([c.chance_below for c in cards if c.verdict == "cut"]),
        tolerable=len(largest_list([c.chance_below for c in cards if c.games], TOLERATED)),
        spread=own_spread * mean * (1 - mean),
        real_share=_real_share(fitted, own_spread),
        allowance=_share_of_record(fitted),
        has_unheld=fitted.sample.contrast is not None,
        is_learnt=fitted.allowance.is_learnt,
        design_effect=fitted.sample.design_effect,
        usage_columns=usage_columns(fitted),
        factions=factions(fitted),
        strata=fitted.sample.strata,
        bands=tuple(fitted.sample.bands),
        archetypes=_archetypes(table, archetypes, fitted, draws, settings),
        outlook=outlook(
            standing, fitted.sample.totals.games, [c.verdict != "more games" for c in judged]
        ),
        seed=settings.seed,
        warnings=limits.cautions,
        beliefs=_beliefs(fitted, draws, order),
        far_cards=limits.far,
        clashing_cards=limits.clashing,
    )


def _line(baseline: float, margin: float) -> float:
    if margin >= baseline:
        msg = f"margin must be below the baseline ({baseline:.4f}), got {margin}"
        raise SettingError(msg)
    return baseline - margin


def _archetypes(
    table: CardTable,
    decks: ArchetypeTable | None,
    fitted: Strength,
    draws: Numbers,
    settings: Settings,
) -> ArchetypePool | None:
    if "archetype" not in fitted.sample.strata:
        return None if decks is None else judge_archetypes(None, decks, settings)
    return judge_archetypes(table, decks, settings, own_draws=draws)


def _beliefs(fitted: Strength, draws: Numbers, order: npt.NDArray[np.intp]) -> Beliefs:
    own = fitted.own()
    effects = NormalMixture(own.weight[:, order], own.mean[:, order], own.sd[:, order])
    return Beliefs(effects, fitted.target.mean, draws[:, order])


def _origin(settings: Settings) -> Literal["sample", "given", "player_rate", "target"]:
    if not isinstance(settings.baseline, str):
        return "given"
    return settings.baseline if settings.target == "sample" else "target"


def _judged(
    fitted: Strength, rule: Rule, shortlist: int, draws: Numbers
) -> tuple[CardVerdict, ...]:
    table, own = fitted.sample.totals, fitted.own()
    line = float(fitted.effect(rule.line))
    chance = own.below(line)
    has_games = fitted.sample.evidence.games > 0
    verdicts = [
        rule.verdict(p, has_games=bool(some)) for p, some in zip(chance, has_games, strict=True)
    ]
    places, tiers = ranks(draws, worst=shortlist), grades(draws)
    needed = games_to_settle(_standing(fitted, line, rule.sure))
    marks = signs(table, fitted, line)
    flips = allowance_flips(fitted, line, rule.sure)
    others = other_flips(fitted, line, rule.sure)
    low, high = fitted.rate(own.quantile(1 - rule.sure)), fitted.rate(own.quantile(rule.sure))
    estimate, usage = fitted.rate(own.centre), fitted.sample.usage

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
            win_rate=float(table.wins[i] / table.games[i]) if table.games[i] > 0 else None,
            estimate=float(estimate[i]),
            low=float(low[i]),
            high=float(high[i]),
            chance_below=float(chance[i]),
            rank_low=int(places.low[i]),
            rank_high=int(places.high[i]),
            chance_worst=float(places.chance_worst[i]),
            grade=int(tiers.grade[i]),
            verdict=verdicts[i],
            reasons=reasons(
                marks, i, verdicts[i], chance[i], games=table.games[i], needed=wait
            ),
            games_needed=wait,
            usage=float(usage.score[i]) if usage.known[i] else None,
            flips_at=flips[i],
            homes=(),
            flips_if=others[i],
        )

    return tuple(card(i) for i in range(len(table)))


def _label(labels: Labels | None, card: int) -> str | None:
    return None if labels is None else labels[card]


def _whole(number: float) -> int | None:
    return int(number) if np.isfinite(number) else None


def _standing(fitted: Strength, line: float, sure: float) -> Standing:
    own, mean = fitted.own(), fitted.sample.level.sample_mean
    if fitted.sample.contrast is None:
        share, part = fitted.allowance.share, 1 / fitted.sample.design_effect
    else:  # a further held game comes with unheld ones, and they are compared within decks
        share, part = 1.0, 1 - fitted.sample.seen
        if fitted.sample.measure == "deck":  # fewer of its games are held, of smaller effects
            part /= fitted.sample.seen
    information = mean * (1 - mean) * part
    return Standing(own.centre, own.scale, fitted.removable(), line, sure, share, information)


def _share_of_record(fitted: Strength) -> float:
    """Return the card's own share of the records used."""
    per_deck = fitted.sample.contrast is not None and fitted.sample.measure == "held"
    return fitted.allowance.share * (fitted.sample.seen if per_deck else 1.0)


def _real_share(fitted: Strength, own_spread: float) -> float:
    """Share of the variance between raw win rates that is the cards' own (rankability).

    van Dishoeck, A. M. et al. (2011), BMC Medical Research Methodology 11:21 (from memory):
    the variance between items over itself and the median variance of one item's record. What
    records owe to company stands below the line too: it is the rest of what they differ by.
    """
    table, mean = fitted.sample.totals, fitted.sample.level.sample_mean
    seen = np.nan_to_num(table.games) * ~np.isnan(table.wins) > 0
    information = table.games[seen] * mean * (1 - mean) / fitted.sample.design_effect
    record = (table.wins[seen] / table.games[seen] - mean) / (mean * (1 - mean))
    about = record - np.average(record, weights=information)
    between = float((information * about**2).sum() - seen.sum()) / float(information.sum())
    return own_spread**2 / (max(between, own_spread**2) + float(np.median(1 / information)))
