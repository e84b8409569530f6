"""Whether a keep rests on the card's own games, or on the pool that it is one of."""

from math import sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict

HARDLY = 0.9
"""Width of a range against that without the card's own games, from which on these say little;
a judgement."""


def is_kept_by_pool(card: "CardVerdict", pool: "PoolVerdict") -> bool:
    r"""Tell whether a keep would be one, near enough, without any game of the card.

    Parameters
    ----------
    card : CardVerdict
        The card.
    pool : PoolVerdict
        Its pool, for how sure is sure enough and how games run together.

    Returns
    -------
    bool
        True for a keep whose range is at least nine tenths as wide as that of a card like it
        without games; where that cannot be told for certain, False.

    Notes
    -----
    With posterior variance :math:`v`, and at most the information :math:`i = n / \phi p(1-p)`
    in :math:`n` games of design effect :math:`\phi`, the variance without them was at most
    :math:`v / (1 - iv)`: so much narrower can they have made the range, and no more.

    References
    ----------
    Gelman, A. et al. (2013). *Bayesian Data Analysis*, 3rd ed., section 2.5, for precisions
    that add up (from memory).

    Examples
    --------
    A range of 2 points either side is what the pool alone says, unless games were many:

    >>> from types import SimpleNamespace as Told
    >>> pool = Told(sure=0.9, design_effect=1.0, sample_mean=0.5)
    >>> few, many = (Told(verdict="keep", low=0.53, high=0.57, games=n) for n in (100, 900))
    >>> is_kept_by_pool(few, pool), is_kept_by_pool(many, pool)
    (True, False)
    """
    if card.verdict != "keep" or not card.games:
        return False
    from scipy.special import ndtri

    sd = (card.high - card.low) / (2 * float(ndtri(pool.sure)))
    of_game = pool.design_effect * pool.sample_mean * (1 - pool.sample_mean)
    left = 1 - sd**2 * card.games / of_game
    return left > 0 and sqrt(left) >= HARDLY
