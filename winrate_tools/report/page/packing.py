"""Whole numbers as short text, which the page's script reads back."""

from collections.abc import Iterable

BASE = 45


def packed(numbers: Iterable[int]) -> str:
    """Write whole numbers one after another, small ones shortest.

    Parameters
    ----------
    numbers : iterable of int
        Of either sign.

    Returns
    -------
    str
        Each number in base 45, its sign in its lowest bit, its last digit raised by 45. The
        90 digits are the visible ASCII characters that JSON and HTML leave as they are.

    Examples
    --------
    >>> packed([0, 1, -1, 22, 1000])
    'QSR~Pf'
    """
    return "".join(map(_digits, numbers))


def packed_rows(rows: Iterable[Iterable[int]]) -> str:
    """Write rows of whole numbers with a blank between them.

    Examples
    --------
    >>> packed_rows([[1, 0], [], [-1]])
    'SQ  R'
    """
    return " ".join(map(packed, rows))


def _digits(number: int) -> str:
    rest, last = divmod(2 * number if number >= 0 else -2 * number - 1, BASE)
    digits = _character(BASE + last)
    while rest:
        rest, digit = divmod(rest, BASE)
        digits = _character(digit) + digits
    return digits


def _character(digit: int) -> str:
    """Pass over quotation mark, less-than sign and backslash."""
    return chr(35 + digit + (digit >= 25) + (digit >= 56))
