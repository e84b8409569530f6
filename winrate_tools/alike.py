"""When two names are one: to a reader, not to a computer."""

import unicodedata


def folded(name: str) -> str:
    """Make names that are the same to a reader equal, whatever their case, blanks and encoding.

    Examples
    --------
    >>> folded(" Ash  VINE ") == folded("ash vine")
    True
    """
    composed = unicodedata.normalize("NFC", " ".join(name.split()))
    return unicodedata.normalize("NFC", composed.casefold())
