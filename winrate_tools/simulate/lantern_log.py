"""A log of some more drafts of Lantern Fair, game by game."""

from dataclasses import replace

from winrate_tools.simulate.lantern_world import WORLD, Fair
from winrate_tools.simulate.logs import log_text, simulate_log

DRAFTS, SEED = 15, 71


def lantern_log(fair: Fair) -> str:
    """Write the games of a few drafts, one row a game with its deck's cards in a list.

    Parameters
    ----------
    fair : Fair
        The fair, whose cards are drafted once more.

    Returns
    -------
    str
        CSV: game, deck, archetype, skill, won, cards, held.

    Examples
    --------
    >>> from winrate_tools.simulate.lantern_world import lantern_fair
    >>> lantern_log(lantern_fair()).splitlines()[0]
    'game,deck,archetype,skill,won,cards,held'
    """
    world = replace(WORLD, drafts=DRAFTS)
    return log_text(simulate_log(world, SEED, truth=fair.simulation.truth))
