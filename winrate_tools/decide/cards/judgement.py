"""From estimates to verdicts: what to cut, what to keep, what needs more games."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.cards.beliefs import Beliefs
from winrate_tools.decide.cards.doubts import doubts, factions, usage_columns
from winrate_tools.decide.cards.expected import expected_rates
from winrate_tools.decide.cards.homes import HomeRecord, home_records
from winrate_tools.decide.cards.outlook import outlook, standing
from winrate_tools.decide.cards.reasons import Reason, reasons, signs
from winrate_tools.decide.cards.rules import Rule, Verdict
from winrate_tools.decide.cards.sensitivity import allowance_flips, at_face_value, other_flips
from winrate_tools.decide.cards.spread import real_share
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import FitError, SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.grades import grades
from winrate_tools.stats.cards.many import expected_wrong, largest_list
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.cards.ranks import places, ranks
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.stats.planning.settling import (
    Standing,
    games_that_do_most,
    games_to_settle,
)
from winrate_tools.tables import ArchetypeTable, CardTable, Labels

if TYPE_CHECKING:
    from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool

Numbers = npt.NDArray[np.float64]
RANK_DRAWS = 2000
LARGEST_SHORTLIST = 3
"""The shortlist is at most this part of the pool: one in so many cards."""
TOLERATED = 0.1
"""Share of a list that may be expected to be wrong."""
WORTH_PLAYING = 0.2
"""Chance of settling a verdict below which games will not help it. A judgement, no source."""
MOSTLY = 0.5
"""Share of what is unknown of a card from which on it is mostly that."""
CLOSE = 0.02
"""Win rate about the line within which a whole range lies close to it: 2 points."""


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
        If the table cannot carry an estimate, no game of it was won, or its only card with
        games would be held against its own mean.
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
    line = _line(fitted, settings.margin_used)
    draws = fitted.draws(RANK_DRAWS, settings.seed)
    here = standing(fitted, float(fitted.effect(line)), settings.sure)
    homes = home_records(table)
    judged = _judged(fitted, Rule(line, settings.sure), here, shortlist, draws, homes)
    order = np.argsort([card.estimate for card in judged], kind="stable")
    cards = tuple(judged[i] for i in order)
    own_spread, limits = fitted.spread()[1], doubts(fitted)
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
        real_share=real_share(fitted, own_spread),
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
            here, fitted.sample.totals.games, [c.verdict != "more games" for c in judged]
        ),
        seed=settings.seed,
        warnings=limits.cautions,
        beliefs=_beliefs(fitted, draws, order),
        far_cards=limits.far,
        clashing_cards=limits.clashing,
        use_known=fitted.sample.usage.columns,
        face_value=at_face_value(fitted, Rule(line, settings.sure)),
    )


def _line(fitted: Strength, margin: float) -> float:
    baseline, wins = fitted.target.baseline, fitted.sample.totals.wins
    if margin < baseline:
        return baseline - margin
    if not np.nansum(wins):
        msg = "no game of this table was won: are the wins taken from the right column?"
        raise FitError(msg)
    msg = f"margin must be below the baseline ({baseline:.4f}), got {margin}"
    raise SettingError(msg)


def _archetypes(
    table: CardTable,
    decks: ArchetypeTable | None,
    fitted: Strength,
    draws: Numbers,
    settings: Settings,
) -> "ArchetypePool | None":
    cards = table if "archetype" in fitted.sample.strata else None
    if cards is None and decks is None:
        return None
    from winrate_tools.decide.archetypes.archetypes import judge_archetypes

    return judge_archetypes(cards, decks, settings, own_draws=draws)


def _beliefs(fitted: Strength, draws: Numbers, order: npt.NDArray[np.intp]) -> Beliefs:
    own = fitted.own()
    effects = NormalMixture(own.weight[:, order], own.mean[:, order], own.sd[:, order])
    return Beliefs(effects, fitted.target.mean, draws.T[order].T)


def _origin(settings: Settings) -> Literal["sample", "given", "player_rate", "target"]:
    if not isinstance(settings.baseline, str):
        return "given"
    return settings.baseline if settings.target == "sample" else "target"


def _judged(
    fitted: Strength,
    rule: Rule,
    here: Standing,
    shortlist: int,
    draws: Numbers,
    homes: Mapping[str, tuple[HomeRecord, ...]],
) -> tuple[CardVerdict, ...]:
    table, own, line = fitted.sample.totals, fitted.own(), here.line
    chance = own.below(line)
    has_games = fitted.sample.evidence.games > 0
    verdicts = [
        rule.verdict(p, has_games=bool(some)) for p, some in zip(chance, has_games, strict=True)
    ]
    place = places(draws)
    rank, tiers = ranks(draws, worst=shortlist, place=place), grades(draws, place=place)
    low, high = fitted.rate(own.quantile(1 - rule.sure)), fitted.rate(own.quantile(rule.sure))
    waits = _waits(here, verdicts, np.maximum(rule.line - low, high - rule.line))
    why = _reasons(fitted, here, verdicts, waits)
    flips = allowance_flips(fitted, line, rule.sure)
    others = other_flips(fitted, line, rule.sure)
    estimate, usage = fitted.rate(own.centre), fitted.sample.usage
    expected = expected_rates(fitted)

    def card(i: int) -> CardVerdict:
        wait = waits[i]
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
            rank_low=int(rank.low[i]),
            rank_high=int(rank.high[i]),
            chance_worst=float(rank.chance_worst[i]),
            group=int(tiers.grade[i]),
            verdict=verdicts[i],
            reasons=why[i],
            games_needed=wait.games_needed,
            usage=float(usage.score[i]) if usage.known[i] else None,
            flips_at=flips[i],
            homes=homes.get(table.card[i], ()),
            flips_if=others[i],
            expected_rate=float(expected[i]) if has_games[i] else None,
            games_worth=wait.games_worth,
            chance_worth=wait.chance_worth,
        )

    return tuple(card(i) for i in range(len(table)))


class Wait(NamedTuple):
    """What would settle one card, as in `CardVerdict`, and what keeps it open."""

    games_needed: int | None
    games_worth: int | None
    chance_worth: float | None
    is_luck: bool
    is_close: bool


def _waits(here: Standing, verdicts: list[Verdict], reach: Numbers) -> list[Wait]:
    """Say what would settle each card; `reach` is how far its range goes from the line."""
    needed, (worth, then) = games_to_settle(here), games_that_do_most(here)
    is_close = reach <= CLOSE
    is_luck = here.luck() >= MOSTLY

    def wait(i: int) -> Wait:
        games = _whole(needed[i]) if verdicts[i] == "more games" else 0
        is_tried = games is None and then[i] >= WORTH_PLAYING
        tried, chance = (_whole(worth[i]), float(then[i])) if is_tried else (None, None)
        return Wait(games, tried, chance, bool(is_luck[i]), bool(is_close[i]))

    return [wait(i) for i in range(len(verdicts))]


def _reasons(
    fitted: Strength, here: Standing, verdicts: list[Verdict], waits: list[Wait]
) -> list[tuple[Reason, ...]]:
    table = fitted.sample.totals
    marks, chance = signs(table, fitted, here.line), fitted.own().below(here.line)
    return [
        reasons(
            marks,
            i,
            verdict,
            chance[i],
            games=table.games[i],
            needed=wait.games_needed,
            is_luck=wait.is_luck,
            is_close=wait.is_close,
        )
        for i, (verdict, wait) in enumerate(zip(verdicts, waits, strict=True))
    ]


def _label(labels: Labels | None, card: int) -> str | None:
    return None if labels is None else labels[card]


def _whole(number: float) -> int | None:
    return int(number) if np.isfinite(number) else None


def _share_of_record(fitted: Strength) -> float:
    """Return the card's own share of the records used."""
    per_deck = fitted.sample.contrast is not None and fitted.sample.measure == "held"
    return fitted.allowance.share * (fitted.sample.seen if per_deck else 1.0)
