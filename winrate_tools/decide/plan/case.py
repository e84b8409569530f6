"""What the programs of one plan share, whatever is believed of the cards."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit, ndtri

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.decide.plan.copies import Advice, copies_advice, copy_flags
from winrate_tools.decide.plan.limits import levels_of, limits_of, prices
from winrate_tools.decide.plan.play import Play, play_of
from winrate_tools.decide.plan.program import Limit, Program
from winrate_tools.decide.plan.stock import Stock, stock_of
from winrate_tools.decide.plan.worth import Needs, bends_of, needs_of, worth_of_copies
from winrate_tools.goals import Goals
from winrate_tools.pools import CandidateTable, PoolTable

Numbers = npt.NDArray[np.float64]


class Case(NamedTuple):
    """All that a program is made of, but for the draws that it averages over.

    Attributes
    ----------
    verdict : PoolVerdict
        The judged cards.
    stock : Stock
        The n items.
    play : Play
        What K archetypes play of them.
    advice : tuple of Advice
        How many copies each item's part in the pool asks for.
    levels : tuple of tuple of int
        The numbers of copies that each may have.
    limits : tuple of Limit
        What to keep to.
    strengths : ndarray of shape (D, K)
        Draws of the archetypes' win rates.
    goals : Goals
        Aims and limits.
    """

    verdict: PoolVerdict
    stock: Stock
    play: Play
    advice: tuple[Advice, ...]
    levels: tuple[tuple[int, ...], ...]
    limits: tuple[Limit, ...]
    strengths: Numbers
    goals: Goals

    @classmethod
    def of(
        cls, verdict: PoolVerdict, pool: PoolTable, candidates: CandidateTable, goals: Goals
    ) -> "Case":
        """Bring everything together.

        Raises
        ------
        CountError
            If the tables do not fit together, or a candidate lacks a price under a budget.
        SettingError
            If a quota is for a label that no card has.
        """
        stock = stock_of(verdict, pool, candidates)
        play = play_of(stock, verdict.archetypes)
        found = copy_flags(stock, verdict.line, verdict.baseline, verdict.sure)
        advice = copies_advice(stock, found, goals)
        levels = levels_of(stock, advice, goals)
        strengths = _strengths(verdict.archetypes, len(stock.effects), verdict.seed)
        limits = limits_of(stock, goals)
        return cls(verdict, stock, play, advice, levels, limits, strengths, goals)

    def program(self, draws: slice) -> Program:
        """Write the program for the average over some draws."""
        effects = self.stock.effects[draws]
        line = self.verdict.line
        needs = self.needs(draws)
        cost = self.goals.change_cost / 2
        return Program(
            before=self.stock.before,
            levels=self.levels,
            worth=worth_of_copies(self.stock, line, effects, self.advice, self.goals),
            entry=cost + self.goals.price_cost * prices(self.stock),
            exit=np.full(len(self.stock.cards), cost),
            bends=bends_of(self.stock, self.play, effects, needs, self.goals),
            limits=self.limits,
        )

    @property
    def chance_below(self) -> Numbers:
        """Probabilities of the items of lying below the line."""
        weak = self.stock.effects < self.stock.effect(self.verdict.line)
        return self._judged("chance_below", weak.mean(axis=0))

    @property
    def estimates(self) -> Numbers:
        """Best estimates of the items' win rates."""
        drawn = expit(logit(self.stock.mean) + self.stock.effects.mean(axis=0))
        return self._judged("estimate", drawn)

    @property
    def ranges(self) -> tuple[Numbers, Numbers]:
        """Lower and upper ends of the items' ranges, which agree with the verdicts."""
        sure = self.verdict.sure
        ends = np.quantile(self.stock.effects, [1 - sure, sure], axis=0)
        low, high = expit(logit(self.stock.mean) + ends)
        return self._judged("low", low), self._judged("high", high)

    def _judged(self, fact: str, drawn: Numbers) -> Numbers:
        """Say of judged cards what every report says of them, of others what draws say."""
        judged = zip(self.stock.verdicts, drawn, strict=True)
        return np.array([rate if one is None else getattr(one, fact) for one, rate in judged])

    def needs(self, draws: slice) -> Needs:
        """Say how far archetypes are off, on average over some draws."""
        return needs_of(self.play, self.verdict.archetypes, self.strengths[draws])


def _strengths(archetypes: ArchetypePool | None, draws: int, seed: int) -> Numbers:
    """Draw archetypes' win rates, by their ranges."""
    if archetypes is None:
        return np.zeros((draws, 0))
    centre = np.array([one.estimate for one in archetypes.archetypes])
    width = np.array([one.high - one.low for one in archetypes.archetypes])
    noise = np.random.default_rng([seed, 2]).standard_normal((draws, len(centre)))
    return np.asarray(centre + width / (2 * float(ndtri(archetypes.sure))) * noise)
