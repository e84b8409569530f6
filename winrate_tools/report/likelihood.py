"""Chances in words, which never stand without their number."""

from winrate_tools.report.words import TWENTY


def likelihood(number: int) -> str:
    """Put twentieths into words; never show them without the number.

    Own cut points, in the manner of the scales in use for reports on climate.

    Examples
    --------
    >>> likelihood(19), likelihood(14), likelihood(10), likelihood(3)
    ('almost surely', 'more likely than not', 'cannot tell', 'probably not')
    """
    words = ((19, "almost surely"), (16, "probably"), (13, "more likely than not"))
    ends = {"almost surely": "almost surely not", "probably": "probably not"}
    for least, word in words:
        if number >= least:
            return word
        if number <= TWENTY - least:
            return ends.get(word, "less likely than not")
    return "cannot tell"
