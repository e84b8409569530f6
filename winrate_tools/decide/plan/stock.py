"""Everything that may be in the pool: its cards and the candidates, with what is believed."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.decide.plan.candidates import believed, candidate_effects, usual_card
from winrate_tools.decide.plan.matching import places
from winrate_tools.errors import CountError
from winrate_tools.goals import KEPT, Label
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Stock:
    """The n items that a plan chooses from: the pool's cards first, then the candidates.

    Attributes
    ----------
    cards : tuple of PoolCard
        Names and labels; a candidate's copies are the most that can be had.
    verdicts : tuple of (CardVerdict or None)
        What the games say of each, None for those without games in the table.
    before : ndarray of int, shape (n,)
        Copies in the pool, 0 for candidates.
    effects : ndarray of shape (D, n)
        Joint draws of what is believed of each, on the log-odds.
    mean : float
        Win rate of an average card.
    unknown : tuple of str
        Cards of the pool that neither the table nor the candidates know: they stay.
    in_pool : tuple of str
        Candidates that are in the pool already, and were only taken for what they tell.
    elsewhere : tuple of str
        Cards of the table of games that are not in the pool.
    """

    cards: tuple[PoolCard, ...]
    verdicts: tuple[CardVerdict | None, ...]
    before: Counts
    effects: Numbers
    mean: float
    unknown: tuple[str, ...]
    in_pool: tuple[str, ...]
    elsewhere: tuple[str, ...]

    @property
    def is_unknown(self) -> npt.NDArray[np.bool_]:
        """Which items nothing is known of."""
        return np.array([card.card in self.unknown for card in self.cards], dtype=np.bool_)

    @property
    def labels(self) -> tuple[Label, ...]:
        """Those of faction, rarity and role that any card of the pool carries."""
        own = [card for card, had in zip(self.cards, self.before, strict=True) if had]
        return tuple(name for name in KEPT if any(getattr(card, name) for card in own))

    def effect(self, rate: float) -> float:
        """Return the effect on the log-odds that brings a win rate."""
        return float(np.log(rate / (1 - rate)) - np.log(self.mean / (1 - self.mean)))


def stock_of(verdict: PoolVerdict, pool: PoolTable, candidates: CandidateTable) -> Stock:
    """Join the pool, the candidates, and what is believed of both.

    Parameters
    ----------
    verdict : PoolVerdict
        The judged cards.
    pool : PoolTable
        The pool; cards with no copies are no part of it.
    candidates : CandidateTable
        Cards that might come in.

    Returns
    -------
    Stock
        A card of the pool without games, but with a candidate's row, is believed what that
        says; without either it is one more of the pool's kind.

    Raises
    ------
    CountError
        If no card of the pool has been judged, or the name of one is misspelt there.
    """
    rng = np.random.default_rng([verdict.seed, 1])
    own = [card for card in pool.cards if card.copies > 0]
    judged = [card.card for card in verdict.cards]
    found = places([card.card for card in own], judged, "the table of games")
    if all(place is None for place in found):
        msg = "no card of the pool is in the table of games: they are of different games"
        raise CountError(msg)
    told = {folded(one.card.card): one for one in candidates.candidates}
    inside = {folded(card.card) for card in own}
    new = [one for name, one in told.items() if name not in inside]
    rows = [told.get(folded(card.card)) for card in own]
    effects = _pool_effects(verdict, found, rows, rng)
    fresh = candidate_effects(CandidateTable(new), verdict, rng)
    verdicts = [None if place is None else verdict.cards[place] for place in found]
    return Stock(
        cards=(*own, *(one.card for one in new)),
        verdicts=(*verdicts, *[None] * len(new)),
        before=np.array([*(card.copies for card in own), *[0] * len(new)], dtype=np.int64),
        effects=np.hstack([effects, fresh]),
        mean=verdict.beliefs.mean,
        unknown=tuple(
            card.card
            for card, place, row in zip(own, found, rows, strict=True)
            if place is None and row is None
        ),
        in_pool=tuple(one.card.card for name, one in told.items() if name in inside),
        elsewhere=tuple(name for i, name in enumerate(judged) if i not in set(found)),
    )


def _pool_effects(
    verdict: PoolVerdict,
    found: Sequence[int | None],
    rows: Sequence[Candidate | None],
    rng: np.random.Generator,
) -> Numbers:
    """Take the judged cards' draws, and draw the others by their row, if any."""
    usual, draws = usual_card(verdict), verdict.beliefs.draws
    effects = np.empty((len(draws), len(found)))
    for i, (place, row) in enumerate(zip(found, rows, strict=True)):
        if place is not None:
            effects[:, i] = draws[:, place]
            continue
        told = row or Candidate(PoolCard("unknown", 0), guess="like")
        mean, sd = believed(told, usual)
        effects[:, i] = mean + sd * rng.standard_normal(len(draws))
    return effects
