r"""What home games alone say of each card.

A match lists cards of one deck, or of both. Whether it was won is put down to the players, to
the archetypes and to all of the cards listed, at once: each is thought to lie about where
strangers saw it, within the usual difference, and the games say where in there. From each
card's part of the answer what was believed beforehand is taken out again, so that it can be
weighed with beliefs of any shape (`winrate_tools.stats.home.home`).
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.home.pairs import posterior

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
LEAST_GAIN = 1e-6
"""Share of a variance that games must take away to count as having said anything."""


class Listed(NamedTuple):
    """Which of n cards the decks of R encounters held.

    Attributes
    ----------
    ours, theirs : ndarray of bool, shape (R, n)
        Of the player and of the opponent; a deck without cards is one that nobody listed.
    """

    ours: Flags
    theirs: Flags

    def against_usual(self, games: Numbers) -> Numbers:
        """Hold each listed deck against the usual one, shape (R, n); 1 stands for one card."""
        decks, both = np.concatenate([self.ours, self.theirs]), np.concatenate([games, games])
        told = np.asarray(decks.any(axis=1))
        weight = np.where(told, both, 0.0)
        usual = weight @ decks / max(weight.sum(), 1.0)
        beyond = np.where(told[:, None], decks - usual, 0.0)
        return np.asarray(beyond[: len(games)] - beyond[len(games) :])


class CardEvidence(NamedTuple):
    """What home games alone say of n cards, on the log-odds.

    Attributes
    ----------
    seen : ndarray of shape (n,)
        Each card's effect; NaN where no game tells.
    variance : ndarray of shape (n,)
        Of its error; NaN where no game tells.
    """

    seen: Numbers
    variance: Numbers


class Beforehand(NamedTuple):
    """Independent normals for strengths, before a home game is played.

    Attributes
    ----------
    mean, variance : ndarray
        One entry a strength.
    """

    mean: Numbers
    variance: Numbers


def card_evidence(
    rows: Numbers,
    wins: Numbers,
    games: Numbers,
    listed: Listed,
    cards: Beforehand,
    company: Beforehand,
    *,
    design_effect: float = 1.0,
) -> CardEvidence:
    """Tell what games say of the cards listed with them, apart from who played what.

    Parameters
    ----------
    rows : ndarray of shape (R, P)
        What each strength adds to the log-odds of each encounter.
    wins, games : ndarray of shape (R,)
        ``0 <= wins <= games``.
    listed : Listed
        Cards of both decks.
    cards : Beforehand
        Of the n cards, the usual difference included.
    company : Beforehand
        Of the P strengths.
    design_effect : float, optional
        How many games count as one independent game, at least 1.

    Returns
    -------
    CardEvidence

    Notes
    -----
    Cards are held against the other decks that are listed, so one that every deck has shows
    only against decks without it, and a deck that is not listed tells of no card.

    Examples
    --------
    Ada meets Bo 400 times, half with a lantern and half with a bell; it wins 60 % and 50 %:

    >>> from winrate_tools.stats.home.pairs import Contests
    >>> two = np.array([0, 0])
    >>> met = Contests(two, two + 1, np.array([120.0, 100]), np.array([200.0, 200]), two - 1,
    ...                two - 1, 0.0 * two)
    >>> listed = Listed(np.eye(2) > 0, np.zeros((2, 2), dtype=bool))
    >>> cards = Beforehand(np.zeros(2), np.full(2, 0.02))
    >>> others = Beforehand(np.zeros(3), np.full(3, 0.25))
    >>> found = card_evidence(met.rows(2, 0), met.wins, met.games, listed, cards, others)
    >>> found.seen.round(1).tolist(), found.variance.round(2).tolist()
    ([0.4, -0.4], [0.06, 0.06])
    """
    fit = posterior(
        np.column_stack([rows, listed.against_usual(games)]),
        wins,
        games,
        mean=np.r_[company.mean, cards.mean],
        variance=np.r_[company.variance, cards.variance],
        design_effect=design_effect,
    )
    first = len(company.mean)
    mean, variance = fit.mean[first:], np.diag(fit.covariance)[first:]
    gained = 1 / variance - 1 / cards.variance
    gained = np.where(gained * cards.variance > LEAST_GAIN, gained, np.nan)
    return CardEvidence((mean / variance - cards.mean / cards.variance) / gained, 1 / gained)
