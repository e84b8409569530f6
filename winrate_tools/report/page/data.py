"""What the page's script works with: beliefs, labels and records, packed small."""

import json
from collections.abc import Iterable, Sequence
from statistics import NormalDist
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import logit, ndtri

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words
from winrate_tools.report.cards.reasons import explain
from winrate_tools.report.cards.sentences import BASELINE_ORIGINS
from winrate_tools.report.figures.estimates import wide_level
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.report.likelihood import likelihood
from winrate_tools.tables import ATTRIBUTES

REACH = 3.0
"""Standard deviations from each card's centre within which its belief is packed."""
LATTICE = np.linspace(-REACH, REACH, 17)
DEGREE = 6
"""Of the polynomial that says how far a belief departs from normal."""
FINE, COARSE = 1_000_000, 1000
SURENESS = (0.6, 0.65, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 0.99)
"""How sure the page's reader may ask to be, besides how sure the report was."""
TINY = 1e-12


def page_data(pool: PoolVerdict) -> dict[str, Any]:
    """Gather what the script needs to judge the pool by another line.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool.

    Returns
    -------
    dict
        Plain values; cards in the order of the pool.
    """
    return {**_terms(pool), **_beliefs(pool), **_records(pool.cards)}


def script_safe(data: object) -> str:
    r"""Write data as JSON that no script element can be left by.

    Examples
    --------
    >>> print(script_safe({"card": "</script>"}))
    {"card":"\u003c/script>"}
    """
    return json.dumps(data, separators=(",", ":"), allow_nan=False).replace("<", "\\u003c")


def _terms(pool: PoolVerdict) -> dict[str, Any]:
    """Gather the line, how sure is sure enough, and the words for every number of twenty."""
    twenty = range(words.TWENTY + 1)
    reasons = sorted({reason for card in pool.cards for reason in card.reasons})
    return {
        "line": pool.line,
        "sure": pool.sure,
        "baseline": pool.baseline,
        "origin": BASELINE_ORIGINS[pool.baseline_origin],
        "near": card_words.NEAR,
        "allowance": words.plain(pool.allowance),
        "sureness": [list(choice) for choice in sureness(pool)],
        "deviates": [round(_deviate((k + 0.5) / words.TWENTY), 3) for k in range(words.TWENTY)],
        "twenty": [words.of_twenty(number) for number in twenty],
        "likelihood": _coded(likelihood(number) for number in twenty),
        "reasons": {reason: explain(reason) for reason in reasons},
    }


class Sureness(NamedTuple):
    """A choice of how sure is sure enough, with its numbers and words."""

    sure: float
    label: str
    z: float
    cut: int
    keep: int
    range: str
    wide: str
    wide_z: float


def sureness(pool: PoolVerdict) -> list[Sureness]:
    """Return the choices that the page's reader has, the report's own among them."""
    return [_sureness(sure) for sure in sorted({*SURENESS, pool.sure})]


def _sureness(sure: float) -> Sureness:
    (cut, keep), wide = words.bars(sure), (1 + wide_level(sure)) / 2
    is_whole = abs(words.TWENTY * sure - round(words.TWENTY * sure)) < words.SAME
    label = f"{cut} in 20" if is_whole else f"{words.plain(100 * sure)} in 100"
    names = words.range_name(sure), words.range_name(wide)
    return Sureness(sure, label, _deviate(sure), cut, keep, *names, _deviate(wide))


def _deviate(level: float) -> float:
    return round(NormalDist().inv_cdf(level), 6)


def _beliefs(pool: PoolVerdict) -> dict[str, Any]:
    """Pack each card's belief: centre, scale, and how far its shape departs from normal.

    With `t` the distance from the centre in scales, the chance of lying below is
    ``ndtr(t + bend(t))``, and `bend` is a polynomial of ``t / REACH``, fitted on `LATTICE`
    where chances change the most. What the report prints comes too, in millionths cut off,
    of which the middle rounds as the whole number does.
    """
    effects, shift = pool.beliefs.effects, logit(pool.beliefs.mean)
    centre = np.rint(FINE * (shift + effects.centre))
    scale = np.maximum(np.rint(FINE * effects.scale), 1)
    points = (centre + scale * LATTICE[:, None]) / FINE - shift
    chance = np.clip([effects.below(point) for point in points], TINY, 1 - TINY)
    bends = np.rint(COARSE * _fitted(ndtri(chance) - LATTICE[:, None])).T
    return {
        "lattice": LATTICE.tolist(),
        "centre": centre.astype(int).tolist(),
        "scale": scale.astype(int).tolist(),
        "bends": bends.astype(int).tolist(),
        **{end: _cut_off(pool.cards, end) for end in ("low", "estimate", "high")},
    }


def _fitted(bends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Fit a polynomial, from its constant term on, to each column of values on the lattice."""
    weight = np.exp(-(LATTICE**2) / 4) + 0.05
    terms = np.vander(LATTICE / REACH, DEGREE + 1, increasing=True)
    found, *_ = np.linalg.lstsq(weight[:, None] * terms, weight[:, None] * bends)
    return found.astype(np.float64, copy=False)


def _cut_off(cards: Sequence[CardVerdict], name: str) -> list[int]:
    return [int(FINE * getattr(card, name)) for card in cards]


def _records(cards: Sequence[CardVerdict]) -> dict[str, Any]:
    """Code what else is said of each card, names by their numbers.

    A card's record by archetype is a row of threes: archetype, games, wins.
    """
    usual = {home.archetype: home.usual for card in cards for home in card.homes}
    number = {name: i for i, name in enumerate(sorted(usual))}
    flips = {i: words.plain(card.flips_at) for i, card in enumerate(cards) if card.flips_at}
    return {
        "labels": {name: _coded(getattr(card, name) for card in cards) for name in ATTRIBUTES},
        "use": [None if card.usage is None else round(card.usage, 1) for card in cards],
        "flips": flips,
        "archetypes": [visible(name) for name in number],
        "usual": [round(usual[name], 6) for name in number],
        "homes": [
            [n for home in card.homes for n in (number[home.archetype], home.games, home.wins)]
            for card in cards
        ],
    }


def _coded(labels: Iterable[str | None]) -> dict[str, Any]:
    """Code labels as numbers into their sorted names; -1 for none."""
    found = tuple(labels)
    names = sorted({label for label in found if label})
    number = {name: i for i, name in enumerate(names)}
    return {
        "names": [visible(name) for name in names],
        "of": [number[label] if label else -1 for label in found] if names else [],
    }
