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
from winrate_tools.report.cards.reasons import explain
from winrate_tools.report.cards.sentences import BASELINE_ORIGINS
from winrate_tools.report.figures.estimates import rows_of, wide_level
from winrate_tools.report.forms.glyphs import visible
from winrate_tools.report.likelihood import likelihood
from winrate_tools.report.page.packing import packed, packed_rows
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

    Returns
    -------
    dict
        Plain values, many numbers as text that `packed` wrote; cards in the order of the pool.
        `rows` are their places in it from the top of the picture of all cards.
    """
    rows = [place for _, group in rows_of(pool) for place in group]
    return {**_terms(pool), **_beliefs(pool), **_records(pool.cards), "rows": packed(rows)}


def script_safe(data: object) -> str:
    r"""Write data as JSON that no script element can be left by.

    Examples
    --------
    >>> print(script_safe({"card": "</script>"}))
    {"card":"\u003c/script>"}
    """
    return json.dumps(data, separators=(",", ":"), allow_nan=False).replace("<", "\\u003c")


def _terms(pool: PoolVerdict) -> dict[str, Any]:
    """Gather the line, how sure is sure enough, and how likely every number of twenty is."""
    reasons = sorted({reason for card in pool.cards for reason in card.reasons})
    return {
        "line": pool.line,
        "sure": pool.sure,
        "baseline": pool.baseline,
        "origin": BASELINE_ORIGINS[pool.baseline_origin],
        "near": words.NEAR,
        "allowance": words.plain(pool.allowance),
        **_choices(sureness(pool)),
        "deviates": _thousandths(
            _deviate((k + 0.5) / words.TWENTY) for k in range(words.TWENTY)
        ),
        "likelihood": _coded(likelihood(number) for number in range(words.TWENTY + 1)),
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


def _choices(choices: Sequence[Sureness]) -> dict[str, Any]:
    """Pack the choices: without labels, which the page has, and wider ranges said once."""
    wides = list(dict.fromkeys((choice.wide, choice.wide_z) for choice in choices))
    return {
        "sureness": [
            (it.sure, it.z, it.cut, it.keep, it.range, wides.index((it.wide, it.wide_z)))
            for it in choices
        ],
        "wides": wides,
    }


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
    of which the middle rounds as the whole number does. Centres and estimates are packed as
    steps from card to card, the ends of ranges as distances from the estimates.
    """
    effects, shift = pool.beliefs.effects, logit(pool.beliefs.mean)
    centre = np.rint(FINE * (shift + effects.centre))
    scale = np.maximum(np.rint(FINE * effects.scale), 1)
    points = (centre + scale * LATTICE[:, None]) / FINE - shift
    chance = np.clip([effects.below(point) for point in points], TINY, 1 - TINY)
    bends = _fitted(ndtri(chance) - LATTICE[:, None]).T
    low, estimate, high = (_cut_off(pool.cards, end) for end in ("low", "estimate", "high"))
    return {
        "lattice": _thousandths(LATTICE),
        "centre": _steps(centre),
        "scale": packed(scale.astype(int).tolist()),
        "bends": " ".join(map(_thousandths, bends)),
        "low": packed((estimate - low).tolist()),
        "estimate": _steps(estimate),
        "high": packed((high - estimate).tolist()),
    }


def _thousandths(numbers: Iterable[float]) -> str:
    return packed(round(COARSE * number) for number in numbers)


def _steps(numbers: NDArray[np.floating | np.integer]) -> str:
    return packed(np.diff(numbers, prepend=0).astype(int).tolist())


def _fitted(bends: NDArray[np.float64]) -> NDArray[np.float64]:
    """Fit a polynomial, from its constant term on, to each column of values on the lattice."""
    weight = np.exp(-(LATTICE**2) / 4) + 0.05
    terms = np.vander(LATTICE / REACH, DEGREE + 1, increasing=True)
    found, *_ = np.linalg.lstsq(weight[:, None] * terms, weight[:, None] * bends)
    return found.astype(np.float64, copy=False)


def _cut_off(cards: Sequence[CardVerdict], name: str) -> NDArray[np.int64]:
    return np.array([int(FINE * getattr(card, name)) for card in cards])


def _records(cards: Sequence[CardVerdict]) -> dict[str, Any]:
    """Code what else is said of each card, archetypes by the numbers of their names.

    A card's record by archetype is a row of threes: archetype, games, wins above losses.
    """
    usual = {home.archetype: home.usual for card in cards for home in card.homes}
    number = {name: i for i, name in enumerate(archetype_names(cards))}
    flips = {i: words.plain(card.flips_at) for i, card in enumerate(cards) if card.flips_at}
    return {
        "labels": {name: _coded(getattr(card, name) for card in cards) for name in ATTRIBUTES},
        "use": packed_rows(_tenths(card.usage) for card in cards),
        "flips": flips,
        "usual": [round(usual[name], 6) for name in number],
        "homes": packed_rows(
            [
                n
                for it in card.homes
                for n in (number[it.archetype], it.games, 2 * it.wins - it.games)
            ]
            for card in cards
        ),
    }


def archetype_names(cards: Sequence[CardVerdict]) -> list[str]:
    """Return the archetypes that cards have records in, in the order of their numbers."""
    return sorted({home.archetype for card in cards for home in card.homes})


def _tenths(usage: float | None) -> list[int]:
    return [] if usage is None else [round(10 * round(usage, 1))]


def _coded(labels: Iterable[str | None]) -> dict[str, Any]:
    """Code labels as numbers into their sorted names; -1 for none."""
    found = tuple(labels)
    names = sorted({label for label in found if label})
    number = {name: i for i, name in enumerate(names)}
    return {
        "names": [visible(name) for name in names],
        "of": packed(number[label] if label else -1 for label in found) if names else "",
    }
