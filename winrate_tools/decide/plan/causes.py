"""Why a plan moves a card: the reasons, the telling one first."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.plan.copies import Advice
from winrate_tools.decide.plan.moves import Why
from winrate_tools.decide.plan.play import Play
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.decide.plan.worth import Needs

Numbers = npt.NDArray[np.float64]
EVEN = 0.5
SIGNS: tuple[Why, ...] = ("trap", "newcomer trap", "unplayed", "narrow")
"""Reasons of a verdict that a plan passes on."""


class Causes(NamedTuple):
    """What the reasons of n items are read from.

    Attributes
    ----------
    stock : Stock
        The items.
    advice : tuple of Advice
        How many copies each one's part in the pool asks for.
    play : Play
        What archetypes play.
    pull : ndarray of shape (K, n)
        What one more copy adds to each archetype.
    needs : Needs
        Which archetypes are to gain, and which are not.
    chance_below : ndarray of shape (n,)
        Probabilities of lying below the line.
    sure : float
        How sure is sure enough.
    """

    stock: Stock
    advice: tuple[Advice, ...]
    play: Play
    pull: Numbers
    needs: Needs
    chance_below: Numbers
    sure: float

    def going(self, item: int, after: int) -> tuple[tuple[Why, ...], str | None]:
        """Say why copies go out, and which archetype that is about."""
        verdict, advice = self.stock.verdicts[item], self.advice[item]
        below = self.chance_below[item]
        found: list[Why] = [sign for sign in SIGNS if verdict and sign in verdict.reasons]
        if below >= self.sure and "trap" not in found:
            found.insert(0, "weak")
        if EVEN <= below < self.sure:
            found.append("likely weak")
        archetype = self._home(item, self.needs.above)
        if archetype:
            found.append("restrains")
        if not found and after >= 1 and self.stock.before[item] > advice.copies:
            found += [reason for reason in advice.reasons if reason != "essential"]
        if not found and (archetype := self.held_back(item, self.needs.below)):
            found.append("drags")
        return tuple(found) or ("room",), archetype

    def coming(self, item: int, after: int) -> tuple[tuple[Why, ...], str | None]:
        """Say why copies come in, and which archetype that is about."""
        below, reasons = self.chance_below[item], self.advice[item].reasons
        found: list[Why] = ["forced"] if below > EVEN else []
        if 1 - below >= self.sure:
            found.append("sound")
        archetype = self._home(item, self.needs.below)
        if archetype:
            found.append("lifts")
        if "essential" in reasons:
            found.append("essential")
        found = found or ["fits"]
        if not self.stock.before[item] and after < self.stock.cards[item].copies:
            found += [reason for reason in reasons if reason != "essential"]
        return tuple(found), archetype

    def _home(self, item: int, need: Numbers) -> str | None:
        """Name the needy archetype that a copy adds to, if it is one of those that play it."""
        return self._most(item, need, self.pull[:, item])

    def held_back(self, item: int, need: Numbers) -> str | None:
        """Name the needy archetype that a copy takes from, if it is one that plays it."""
        return self._most(item, need, -self.pull[:, item])

    def _most(self, item: int, need: Numbers, pull: Numbers) -> str | None:
        held = self.play.held[:, item]
        pulls = (need >= EVEN) & (pull > 0) & (2 * held >= held.max(initial=0.0))
        if not pulls.any():
            return None
        return self.play.archetype[int(np.argmax(np.where(pulls, pull, 0.0)))]
