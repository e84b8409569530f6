"""Worlds drawn at random, to see whether what we claim holds in more than one."""

import numpy as np

from winrate_tools.simulate.world import World


def random_world(rng: np.random.Generator, *, games: int = 80_000) -> World:
    """Draw a world at random, from mildly to strongly confounded.

    Parameters
    ----------
    rng : numpy.random.Generator
        Source of the draws.
    games : int, optional
        Expected number of games, at least 40.

    Returns
    -------
    World
        Parameters of :class:`World` around their defaults.

    Examples
    --------
    >>> world = random_world(np.random.default_rng(1), games=25_000)
    >>> round(world.games, -3)
    25000.0
    """
    strength = rng.random()
    return World(
        drafts=round(games / 40),
        effect_sd=rng.uniform(0.075, 0.11),
        trap_share=rng.uniform(0.03, 0.1),
        trap_effect=rng.uniform(-0.25, -0.15),
        unplayed_share=rng.uniform(0.03, 0.1),
        balance=1 - 0.6 * strength,
        foresight=rng.uniform(0.6, 0.85),
        insight=rng.uniform(0.05, 0.15),
        skill_sd=0.2 + 0.15 * strength,
        lean_sd=0.05 + 0.15 * strength,
        archetype_sd=0.06 + 0.12 * strength,
        tempo_sd=rng.uniform(0, 2),
        deck_sd=rng.uniform(0.2, 0.4),
        slope_sd=rng.uniform(0, 0.3),
        narrow_share=rng.uniform(0, 0.08),
    )
