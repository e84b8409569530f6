r"""When to cut, when to keep, when to wait: one rule, from what a mistake costs.

Say that cutting a sound card costs as much as keeping a weak one, and that waiting costs
:math:`1 - \text{sure}` of that. With probability :math:`p` that the card lies below the line,
cutting is then expected to cost :math:`1 - p`, keeping :math:`p` and waiting
:math:`1 - \text{sure}`. The cheapest is to cut from :math:`p \ge \text{sure}` on, to keep up to
:math:`p \le 1 - \text{sure}`, and to wait in between. The central range that holds
:math:`2\,\text{sure} - 1` touches the line exactly when the rule says to wait.
"""

from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

Verdict = Literal["cut", "keep", "more games"]
Numbers = npt.NDArray[np.float64]


class Rule(NamedTuple):
    """The line and how sure is sure enough.

    Attributes
    ----------
    line : float
        Win rate below which a card is weak.
    sure : float
        Probability from which on a verdict is given, in (0.5, 1).
    """

    line: float
    sure: float

    def verdict(self, chance_below: float, *, has_games: bool = True) -> Verdict:
        """Decide one card.

        Parameters
        ----------
        chance_below : float
            Probability that its true win rate lies below the line.
        has_games : bool, optional
            A card without any game is never judged by its neighbours.

        Returns
        -------
        str
            ``"cut"``, ``"keep"`` or ``"more games"``.

        References
        ----------
        Berger, J. O. (1985). *Statistical Decision Theory and Bayesian Analysis*, 2nd ed.,
        section 4.4, for the action of least posterior expected loss (value from memory).

        Examples
        --------
        >>> rule = Rule(line=0.53, sure=0.9)
        >>> [rule.verdict(chance) for chance in (0.95, 0.5, 0.02)]
        ['cut', 'more games', 'keep']
        """
        if not has_games:
            return "more games"
        if chance_below >= self.sure:
            return "cut"
        return "keep" if 1 - chance_below >= self.sure else "more games"
