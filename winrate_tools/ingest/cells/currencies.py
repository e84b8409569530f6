"""Amounts of money as people write them: the number, and the money it is in."""

import re
import unicodedata

CODES = {
    **dict.fromkeys(("eur", "euro", "euros"), "\u20ac"),
    **dict.fromkeys(("usd", "us$", "dollar", "dollars"), "$"),
    **dict.fromkeys(("gbp", "pound", "pounds"), "\u00a3"),
    **dict.fromkeys(("jpy", "yen", "\u5186"), "\u00a5"),
    **dict.fromkeys(("chf", "fr", "fr.", "sfr", "sfr."), "CHF"),
    **dict.fromkeys(("pln", "z\u0142"), "PLN"),
    **dict.fromkeys(("brl", "r$"), "BRL"),
    **dict.fromkeys(("czk", "k\u010d"), "CZK"),
    **{code.lower(): code for code in ("SEK", "NOK", "DKK", "HUF", "CAD", "AUD", "NZD", "MXN")},
    **dict.fromkeys(("kr", "kr."), "kr"),
    **dict.fromkeys(("ct", "cent", "cents", "\u00a2"), "\u00a2"),
}
"""Ways to write a money, and the sign that it is compared by."""
_AMOUNT = r"(\D*?)([+\-\u2212]?[.,]?\d[\d.,' \u00a0\u202f\u2019]*)(.*)"
_NO_CENTS = r"(?<=[.,])\s*[-\u2013\u2014]+"
"""A dash in place of cents, as in ``5.-``."""


def amount(cell: str) -> tuple[str, str | None]:
    """Part a price into its number, still text, and a sign for its money.

    Returns
    -------
    tuple of (str, str or None)
        The cell as it is and None where no known money stands beside a number.

    Examples
    --------
    >>> amount("0,40 \u20ac"), amount("EUR 0.40"), amount("12"), amount("3 apples")
    (('0,40', '\u20ac'), ('0.40', '\u20ac'), ('12', None), ('3 apples', None))
    """
    parts = re.fullmatch(_AMOUNT, re.sub(_NO_CENTS, "", cell.strip()), re.ASCII)
    if parts is None:
        return cell, None
    before, number, after = (part.strip() for part in parts.groups())
    moneys = {_money(text) for text in (before, after) if text}
    if len(moneys) > 1 or None in moneys:
        return cell, None
    return number.rstrip(".,"), next(iter(moneys), None)


def _money(text: str) -> str | None:
    if known := CODES.get(text.casefold()):
        return known
    is_sign = len(text) == 1 and unicodedata.category(text) == "Sc"
    return text if is_sign else None
