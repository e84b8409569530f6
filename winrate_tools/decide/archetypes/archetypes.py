"""Which archetypes need help, how sure that is, and which cards drag or carry them."""

from dataclasses import replace
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit, ndtri

from winrate_tools.decide.archetypes.archetype_counts import ArchetypeCounts, archetype_counts
from winrate_tools.decide.archetypes.archetype_verdicts import (
    ArchetypePool,
    ArchetypeVerdict,
    Call,
    CardPull,
)
from winrate_tools.errors import SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.archetypes.archetype_parts import Parts, archetype_parts
from winrate_tools.stats.archetypes.archetypes import ArchetypeStrength, archetype_strength
from winrate_tools.stats.cards.strength import strength
from winrate_tools.stats.planning.archetype_settling import ArchetypeStanding, games_to_settle
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.tables import ArchetypeTable, CardTable

Numbers = npt.NDArray[np.float64]
MARGIN = 0.02
"""How far from the mean still counts as fine, whichever games the cards' counts are of."""
BALANCED = 0.8
"""How sure is sure enough of a strength between the lines."""
DRAWS = 2000
TINY = 1e-9
LISTED = 3
"""Cards named that drag an archetype most, and that carry it most."""


def judge_archetypes(
    cards: CardTable | None,
    archetypes: ArchetypeTable | None = None,
    settings: Settings | None = None,
    *,
    own_draws: npt.ArrayLike | None = None,
) -> ArchetypePool:
    """Judge every archetype of a pool against the mean of all games.

    Parameters
    ----------
    cards : CardTable or None
        Rows by archetype, for the cards' part, and for the counts where `archetypes` is not
        given.
    archetypes : ArchetypeTable, optional
        Games and wins of whole decks.
    settings : Settings, optional
        Margin, sureness, measure, design effect and seed are used; the margin is 2 points
        if not given.
    own_draws : array_like of float, shape (D, n), optional
        Joint draws of the cards' own effects on the log-odds, cards in the order of
        ``cards.totals()``; by default from `winrate_tools.stats.cards.strength.strength`.

    Returns
    -------
    ArchetypePool
        Archetypes from the weakest estimate up.

    Raises
    ------
    FitError
        If no archetypes are named, or fewer than two of them have games.
    SettingError
        If the margin leaves no room between the mean and the end of the scale.

    Examples
    --------
    >>> table = ArchetypeTable(["Kites", "Moths", "Bells"], [5000] * 3, [2600, 2500, 2100])
    >>> pool = judge_archetypes(None, table)
    >>> [(one.archetype, one.verdict) for one in pool.archetypes]
    [('Bells', 'underpowered'), ('Moths', 'unsettled'), ('Kites', 'overpowered')]
    """
    settings = settings or Settings()
    counts = archetype_counts(cards, archetypes, settings.measure)
    effect = settings.design_effect or DEFAULT_DESIGN_EFFECT
    found = archetype_strength(
        counts.games, counts.wins, design_effect=effect, error=counts.error
    )
    margin = MARGIN if settings.margin is None else settings.margin
    mean = found.mean_rate
    if not 0 <= margin < min(mean, 1 - mean):
        msg = f"margin must be below {min(mean, 1 - mean):.4f} from this mean, got {margin}"
        raise SettingError(msg)
    parts = _parts(cards, counts, found, settings, own_draws)
    low_line, high_line = mean - margin, mean + margin
    lines = (float(logit(line) - logit(mean)) for line in (low_line, high_line))
    names = () if cards is None else tuple(dict.fromkeys(cards.card))
    case = _Case(counts, found, parts, names, settings.sure, *lines)
    return ArchetypePool(
        archetypes=_judged(case),
        mean=mean,
        margin=margin,
        low_line=low_line,
        high_line=high_line,
        sure=settings.sure,
        balanced=BALANCED,
        spread=found.spread * mean * (1 - mean),
        measure=settings.measure,
        counted=counts.counted,
        skill_bands=tuple(band for band in counts.skill_bands if band),
        design_effect=effect,
        seed=settings.seed,
        warnings=counts.warnings,
    )


def call(chance_below: float, chance_above: float, sure: float) -> Call:
    """Decide one archetype from the chances that it lies below and above the lines.

    Examples
    --------
    >>> call(0.95, 0.0, 0.9), call(0.0, 0.1, 0.9), call(0.3, 0.0, 0.9)
    ('underpowered', 'balanced', 'unsettled')
    """
    if chance_below >= sure:
        return "underpowered"
    if chance_above >= sure:
        return "overpowered"
    return "balanced" if 1 - chance_below - chance_above >= BALANCED else "unsettled"


def _parts(
    cards: CardTable | None,
    counts: ArchetypeCounts,
    found: ArchetypeStrength,
    settings: Settings,
    own_draws: npt.ArrayLike | None,
) -> Parts | None:
    if cards is None or counts.copies is None:
        return None
    if own_draws is None:
        everyone = replace(settings, target="sample")
        own_draws = strength(cards, everyone).draws(DRAWS, settings.seed)
    return archetype_parts(found, _filled(counts.copies, found.share), own_draws)


def _filled(copies: Numbers, share: Numbers) -> Numbers:
    """Give archetypes without cards the mean of the others, so that they move nobody."""
    known = np.asarray(~np.isnan(copies).any(axis=1))
    weight = np.where(known, share, 0.0)
    mean = weight @ np.nan_to_num(copies) / max(weight.sum(), 1e-12)
    return np.where(known[:, None], copies, mean)


class _Case(NamedTuple):
    """What a verdict is given on; the lines are effects on the log-odds."""

    counts: ArchetypeCounts
    found: ArchetypeStrength
    parts: Parts | None
    cards: tuple[str, ...]
    sure: float
    low_line: float
    high_line: float


def _judged(case: _Case) -> tuple[ArchetypeVerdict, ...]:
    relative = case.found.relative
    standing = ArchetypeStanding(
        relative.centre,
        relative.scale,
        case.found.removable,
        case.low_line,
        case.high_line,
        case.sure,
        BALANCED,
        case.found.information,
    )
    below = relative.below(case.low_line)
    above = np.asarray(1 - relative.below(case.high_line))
    low, high = (relative.quantile(level) for level in (1 - case.sure, case.sure))
    needed = games_to_settle(standing)
    games = np.asarray(case.counts.games.sum(axis=1))
    wins = np.asarray(case.counts.wins.sum(axis=1))

    def verdict(k: int) -> ArchetypeVerdict:
        called = call(below[k], above[k], case.sure) if games[k] else "unsettled"
        more = int(needed[k]) if np.isfinite(needed[k]) else None
        return ArchetypeVerdict(
            archetype=case.counts.archetype[k],
            factions=case.counts.factions[k],
            games=round(games[k]),
            wins=round(wins[k]),
            win_rate=float(wins[k] / games[k]) if games[k] else None,
            play_share=float(case.found.share[k]),
            estimate=_rate(case, relative.centre[k]),
            low=_rate(case, low[k]),
            high=_rate(case, high[k]),
            chance_below=float(below[k]),
            chance_above=float(above[k]),
            verdict=called,
            games_needed=more if called == "unsettled" else 0,
            **_split(case, k),
        )

    order = np.argsort(relative.centre, kind="stable")
    return tuple(verdict(int(k)) for k in order)


def _rate(case: _Case, effect: float) -> float:
    return float(expit(logit(case.found.mean_rate) + effect))


def _split(case: _Case, k: int) -> dict[str, Any]:
    """Return an archetype's parts as win rates that add up to its distance from the mean."""
    parts, copies = case.parts, case.counts.copies
    if parts is None or copies is None or np.isnan(copies[k]).any():
        unknown = ("cards_part", "cards_low", "cards_high", "own_part", "own_low", "own_high")
        return {**dict.fromkeys(unknown), "drags": (), "carries": ()}
    scale, reach = _points_of(case, k), ndtri(case.sure)
    return {
        "cards_part": float(scale * parts.cards[k]),
        "cards_low": float(scale * (parts.cards[k] - reach * parts.cards_sd[k])),
        "cards_high": float(scale * (parts.cards[k] + reach * parts.cards_sd[k])),
        "own_part": float(scale * parts.own[k]),
        "own_low": float(scale * (parts.own[k] - reach * parts.own_sd[k])),
        "own_high": float(scale * (parts.own[k] + reach * parts.own_sd[k])),
        "drags": _strongest(case, parts, k, up=False),
        "carries": _strongest(case, parts, k, up=True),
    }


def _points_of(case: _Case, k: int) -> float:
    """Win rate for one unit of log-odds between the mean and an archetype."""
    mean, effect = case.found.mean_rate, float(case.found.relative.centre[k])
    if abs(effect) < TINY:
        return mean * (1 - mean)
    return (_rate(case, effect) - mean) / effect


def _strongest(case: _Case, parts: Parts, k: int, *, up: bool) -> tuple[CardPull, ...]:
    """List the cards that an archetype has more of than others, and that pull it most."""
    scale = _points_of(case, k)
    pull, reach = scale * parts.pull[k], scale * ndtri(case.sure) * parts.pull_sd[k]
    chance = 1 - parts.chance_weak if up else parts.chance_weak
    order = np.argsort(-pull if up else pull, kind="stable")
    chosen = [i for i in order if parts.is_more[k, i] and (pull[i] > 0 if up else pull[i] < 0)]
    return tuple(
        CardPull(
            case.cards[i],
            pull=float(pull[i]),
            low=float(pull[i] - reach[i]),
            high=float(pull[i] + reach[i]),
            chance=float(chance[i]),
        )
        for i in chosen[:LISTED]
    )
