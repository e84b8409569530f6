"""A table of cards as a sample: what each card won, and what was to be expected of it."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import logit

from winrate_tools.errors import SettingError
from winrate_tools.settings import Measure, Settings
from winrate_tools.stats.cards.company import Company, company
from winrate_tools.stats.cards.contrast import Contrast, contrast
from winrate_tools.stats.cards.homes import Homes
from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.cards.skill import Slopes, slopes, unknown_slopes
from winrate_tools.stats.cards.usage import Usage, usage
from winrate_tools.stats.crossed.baseline import Baseline, baseline
from winrate_tools.stats.crossed.expectation import expectation
from winrate_tools.stats.crossed.rows import (
    Rows,
    coded,
    expected_alone,
    expected_rate,
    held_rows,
    ratio,
    rows_of,
)
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.tables import CardTable

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]
MOST_GAMES = 1e7
"""Effective games of one card beyond which more would change nothing."""
MOST_SHARED = 0.9
"""Largest share of a stratum's games that one card is taken to have."""


class Sample(NamedTuple):
    """A pool's counts, ready for an estimate; n cards in the order of the totals.

    Attributes
    ----------
    totals : CardTable
        One row a card.
    level : Baseline
        What effects are counted from.
    bands : mapping of str to float
        Level of each skill band: its log-odds less the sample's, the weakest first, or in the
        user's order.
    evidence : Evidence
        Effective counts of the n cards and the log-odds expected of them. Where the contrast
        is there, of all games of the decks, so that both have errors of their own.
    usage : Usage
        Cleaned usage.
    company : Company
        Factions; none where archetypes tell more.
    strata : tuple of str
        By what games are told apart.
    home, hands : ndarray of shape (n,)
        Log-odds, less the sample's, that a card's archetypes alone and its skill bands alone
        lead one to expect; 0 where unknown.
    homes : Homes or None
        Records within each archetype.
    slopes : Slopes
        How effects change with skill.
    contrast : Contrast or None
        Cards in hand against the same cards in the deck.
    seen : float
        Share of the decks' games in which a card came to hand; 1 without the contrast.
    measure : str
        Which games count.
    design_effect : float
        Variance of a count against that of independent games.
    """

    totals: CardTable
    level: Baseline
    bands: dict[str, float]
    evidence: Evidence
    usage: Usage
    company: Company
    strata: tuple[str, ...]
    home: Numbers
    hands: Numbers
    homes: Homes | None
    slopes: Slopes
    contrast: Contrast | None
    seen: float
    measure: Measure
    design_effect: float


def sample(table: CardTable, settings: Settings) -> Sample:
    """Turn a table of any detail into a sample.

    Parameters
    ----------
    table : CardTable
        Rows by card, or by card within archetype, skill band or both.
    settings : Settings
        Baseline, measure and design effect are used.

    Returns
    -------
    Sample
        Wins expected by archetype are those of the crossed model, or of the strata's own
        rates (indirect standardisation), each card's own games included in both.

    Raises
    ------
    FitError
        If no card has a game with a known result, or the baseline asks for a missing column.
    SettingError
        If the order of the skill bands does not name them all.
    """
    totals = table.totals()
    level = baseline(totals, settings)
    design_effect = settings.design_effect or DEFAULT_DESIGN_EFFECT
    rows = rows_of(table, totals, settings)
    _, total = expected_rate(rows)
    rate = expectation(rows, design_effect)
    n = len(totals)
    games, wins = np.bincount(rows.card, rows.games, n), np.bincount(rows.card, rows.wins, n)
    expected = ratio(np.bincount(rows.card, rows.games * rate, n), games)
    shared = ratio(np.bincount(rows.card, ratio(rows.games**2, total), n), games)
    factor = 1 / (design_effect * (1 - np.minimum(shared, MOST_SHARED)))
    factor = np.minimum(factor, MOST_GAMES / np.maximum(games, 1))
    offset = logit(np.where(games > 0, expected, rows.mean))
    if not rows.strata:  # the level is that of the measure, and the rows may count more games
        offset = level.offset + logit(rows.mean) - logit(level.sample_mean)
    evidence = Evidence(wins * factor, games * factor, offset)
    labels = None if "archetype" in rows.strata else totals.faction
    bands = _in_order(_bands(rows), settings.bands)
    counted = rows if settings.measure == "deck" else held_rows(rows)
    counted_rate = expectation(counted, design_effect)
    return Sample(
        totals=totals,
        level=level,
        bands=bands,
        evidence=evidence,
        usage=usage(totals),
        company=company(labels, evidence),
        strata=rows.strata,
        home=expected_alone(rows, "archetype", n),
        hands=expected_alone(rows, "skill_band", n),
        homes=_homes(counted, counted_rate, design_effect, n),
        slopes=_slopes(counted, counted_rate, bands, design_effect, n),
        contrast=_contrast(rows, n),
        seen=float(rows.held_games.sum() / rows.games.sum()) if rows.has_unheld else 1.0,
        measure=settings.measure,
        design_effect=design_effect,
    )


def _bands(rows: Rows) -> dict[str, float]:
    """Level of each band, the weakest first."""
    mean = logit(rows.mean)
    found: dict[str, float] = {}
    labels = rows.labels.get("skill_band", [])
    for name in sorted({name for name in labels if name is not None}):
        inside = np.array([label == name for label in labels])
        games, wins = rows.games[inside].sum(), rows.wins[inside].sum()
        found[name] = float(logit((wins + 0.5) / (games + 1)) - mean)
    return dict(sorted(found.items(), key=lambda item: item[1]))


def _in_order(bands: dict[str, float], order: str) -> dict[str, float]:
    """Put bands into the user's order, which must name them all."""
    if order == "win rate" or not bands:
        return bands
    names = [name.strip() for name in order.split(",")]
    if sorted(names) != sorted(bands):
        msg = f"bands must name each skill band once ({', '.join(bands)}), got {order!r}"
        raise SettingError(msg)
    return {name: bands[name] for name in names}


def _slopes(
    rows: Rows, rate: Numbers, bands: dict[str, float], design_effect: float, cards: int
) -> Slopes:
    if len(bands) < 2:
        return unknown_slopes(cards)
    labels = rows.labels["skill_band"]
    use = np.array([name is not None for name in labels])
    level = np.array([bands[name] for name in labels if name is not None])
    wins, games = rows.wins[use] / design_effect, rows.games[use] / design_effect
    return slopes(rows.card[use], level, wins, games, rate[use], cards)


def _homes(rows: Rows, rate: Numbers, design_effect: float, cards: int) -> Homes | None:
    if "archetype" not in rows.strata:
        return None
    code, names = coded(rows.labels["archetype"])
    shape = (cards, len(names))
    cell = rows.card * len(names) + code
    information = rows.games * rate * (1 - rate) / design_effect
    surprise = (rows.wins - rows.games * rate) / design_effect

    def by_cell(each: Numbers) -> Numbers:
        total = np.bincount(cell, each, cards * len(names))
        return total.astype(np.float64).reshape(shape)

    return Homes(names, by_cell(rows.games), by_cell(surprise), by_cell(information))


def _contrast(rows: Rows, cards: int) -> Contrast | None:
    if not rows.has_unheld:
        return None
    left_games, left_wins = rows.games - rows.held_games, rows.wins - rows.held_wins
    found = contrast(
        rows.held_games, rows.held_wins, left_games, left_wins, rows.card, rows.stratum
    )
    missing = np.full(cards - len(found.estimate), np.nan)
    return found._replace(
        estimate=np.concatenate([found.estimate, missing]),
        variance=np.concatenate([found.variance, missing]),
    )
