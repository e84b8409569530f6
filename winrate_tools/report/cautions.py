"""What limits the verdicts, in sentences."""

from collections.abc import Callable

from winrate_tools.decide.verdicts import PoolVerdict
from winrate_tools.report import words

CAUTIONS: dict[str, Callable[[PoolVerdict], str]] = {
    "few cards": lambda _: (
        "So few cards have games that little is known of what is usual in this pool; the "
        "estimates lean on what is usual elsewhere."
    ),
    "baseline too low": lambda pool: (
        f"The baseline of {words.exact_percent(pool.baseline)} lies well under this table's "
        f"own mean of {words.exact_percent(pool.sample_mean)}: even a poor card of this table "
        "may pass."
    ),
    "baseline too high": lambda pool: (
        f"The baseline of {words.exact_percent(pool.baseline)} lies well over this table's "
        f"own mean of {words.exact_percent(pool.sample_mean)}: even an average card of this "
        "table looks weak."
    ),
    "no usage": lambda _: (
        "The table does not say how drafters treat the cards, so a card with few games is "
        "judged by the pool as a whole."
    ),
    "no factions": lambda _: (
        "The table names no factions, so what a whole faction is worth is put down to its "
        "cards."
    ),
}


def cautions(pool: PoolVerdict) -> tuple[str, ...]:
    """Say what limits the verdicts on a pool, one sentence each.

    Parameters
    ----------
    pool : PoolVerdict
        The judged pool.

    Returns
    -------
    tuple of str
        One sentence a warning; a warning not known here speaks for itself.
    """
    return tuple(
        CAUTIONS[warning](pool) if warning in CAUTIONS else str(warning)
        for warning in pool.warnings
    )
