"""Where a key stands in a TOML file, for messages that can be clicked on."""

import re

HEADER = re.compile(r"^\s*\[([^\[\]]+)\]")
KEY = re.compile(r"^(\s*)([^=#\s\[][^=]*?)\s*=")


def place_of(text: str, table: str, key: str) -> tuple[int, int]:
    r"""Find a key.

    Parameters
    ----------
    text : str
        The file.
    table : str
        Name of the table that holds the key, "" for the file itself.
    key : str
        The key.

    Returns
    -------
    tuple of int
        Line and column from 1; (1, 1) where it is written in a way not known here.

    Examples
    --------
    >>> place_of("[settings]\nmargin = 2\n  sure = 0.9", "settings", "sure")
    (3, 3)
    """
    full, inside = (f"{table}.{key}" if table else key), ""
    for number, line in enumerate(text.splitlines(), start=1):
        if header := HEADER.match(line):
            inside = _bare(header[1])
            if f"{inside}.".startswith(f"{full}."):
                return number, line.index("[") + 2
        elif found := KEY.match(line):
            name = _bare(found[2])
            if f"{inside}.{name}.".removeprefix(".").startswith(f"{full}."):
                return number, len(found[1]) + 1
    return 1, 1


def spot_of(shown: str, text: str, table: str, key: str) -> str:
    """Write where a key stands in a file, as ``winrate.toml:3:1``."""
    line, column = place_of(text, table, key)
    return f"{shown}:{line}:{column}"


def _bare(name: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in name.split("."))
