"""Cards of Lantern Fair made by hand: newcomer traps, experts' favourites, narrow cards."""

from dataclasses import replace

from winrate_tools.simulate.truth import Truth, narrow_extra
from winrate_tools.simulate.world import World

NEWCOMER_TRAPS = {
    "Beeswax Chandler": (0.0, 0.5),
    "Rusty Workbench": (-0.02, 0.45),
    "Saffron Kettle": (-0.02, 0.45),
}
"""Effect of each in average hands, and how much it gains with each log-odds of skill."""

FLATTERED = {
    "Flicker Trick": (0.0, -1.2, 0.8),
    "Foolscap Letter-Writer": (0.0, -1.2, 0.8),
}
"""Effect of each, how it looks, and how much better each step of skill likes it."""

NARROW = {
    "Steam Sparrow": (-0.01, "Wind-Up Garden", 0.3),
    "Honey Dumpling": (-0.09, "Honey & Thyme", 0.3),
}
"""Effect of each in an average archetype, the one in which it is good, and by how much."""


def tell_stories(world: World, truth: Truth) -> Truth:
    """Give the cards of the stories what their stories say.

    Newcomer traps are popular cards, weak in the hands of new players and fine with experts.
    The flattered are average cards that hardly anybody but experts takes. Narrow cards are
    good in one archetype and weak in their others.

    Parameters
    ----------
    world : World
        The fair's world.
    truth : Truth
        Its cards by name, as drawn.

    Returns
    -------
    Truth
        A changed copy.

    Examples
    --------
    >>> from winrate_tools.simulate.lantern_world import WORLD, lantern_fair
    >>> truth = lantern_fair().simulation.truth
    >>> truth.slope[truth.card.index("Saffron Kettle")]
    np.float64(0.45)
    """
    effect, perceived, lean = truth.effect.copy(), truth.perceived.copy(), truth.lean.copy()
    slope, extra = truth.slope.copy(), truth.extra.copy()
    names = [archetype.name for archetype in world.archetypes]
    for i, card in enumerate(truth.card):
        if card in NEWCOMER_TRAPS:
            effect[i], slope[i] = NEWCOMER_TRAPS[card]
        if card in FLATTERED:
            effect[i], perceived[i], lean[i] = FLATTERED[card]
        if card in NARROW:
            effect[i], best, gain = NARROW[card]
            fits = world.fits[:, truth.home[i]]
            extra[i] = narrow_extra(fits, names.index(best), gain)
    return replace(
        truth, effect=effect, perceived=perceived, lean=lean, slope=slope, extra=extra
    )
