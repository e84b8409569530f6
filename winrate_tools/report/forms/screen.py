"""What text is written for: a terminal of some width, a pipe, a file."""

from typing import NamedTuple


class Screen(NamedTuple):
    """A place for text.

    Attributes
    ----------
    width : int or None
        Columns; None where no limit is known, as in a pipe.
    colour : bool
        Whether escape codes are welcome.
    encoding : str
        What the stream can carry.
    """

    width: int | None = None
    colour: bool = False
    encoding: str = "utf-8"
