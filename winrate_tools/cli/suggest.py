"""One near miss, offered and never taken."""

from collections.abc import Iterable
from difflib import get_close_matches


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Offer the nearest known word.

    Parameters
    ----------
    word : str
        What came.
    known : iterable of str
        What could have been meant.

    Returns
    -------
    str
        The end of a message, "" where nothing is near.

    Examples
    --------
    >>> did_you_mean("marign", ["baseline", "margin"])
    "; did you mean 'margin'?"
    >>> did_you_mean("colour", ["baseline", "margin"])
    ''
    """
    near = get_close_matches(word, list(known), n=1)
    return f"; did you mean {near[0]!r}?" if near else ""
