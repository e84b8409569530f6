"""What readers advise a program: their own options, in place of the command line's."""

import re
from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import ParamSpec, TypeVar

from winrate_tools.errors import MappingError, SettingError, TableError

Given = ParamSpec("Given")
Result = TypeVar("Result")
_PAIR = r'--map (\w+)=("[^"]*"|\d+|HEADER|\.\.\.)'
JOURNAL = "winrate-tools update TABLE --matches FILE --journal FILE"
FLAGS = {
    "--skip-bad": "skip_bad=True",
    "--sum-duplicates": "sum_duplicates=True",
    "winrate-tools rank TABLE": "rank(read_cards(TABLE))",
    "winrate-tools archetypes TABLE": "archetypes(None, read_archetypes(TABLE))",
    "winrate-tools tally FILE": "tally_logs([FILE])",
    "winrate-tools packs --pool FILE --seats N": "packs(read_pool(FILE), seats=N)",
    "winrate-tools plan TABLE --pool FILE --candidates FILE": (
        "plan(rank(read_cards(TABLE)), read_pool(FILE), read_candidates(FILE))"
    ),
    "winrate-tools update TABLE --matches FILE": (
        "update(rank(read_cards(TABLE)), read_matches(FILE))"
    ),
    JOURNAL: f"{JOURNAL} (no program keeps one)",
}
"""Options and commands, as a program gives them."""


def advising_programs(read: Callable[Given, Result]) -> Callable[Given, Result]:
    """Let a reader advise its own options wherever a table cannot be used as it is.

    Raises
    ------
    MappingError, TableError, SettingError
        As the reader raises them, in other words.
    """

    @wraps(read)
    def advised(*args: Given.args, **options: Given.kwargs) -> Result:
        try:
            return read(*args, **options)
        except TableError as error:
            problems = [replace(one, fix=for_programs(one.fix)) for one in error.problems]
            told = for_programs(str(error))
            if isinstance(error, MappingError):
                raise MappingError(told, problems, candidates=error.candidates) from error
            raise TableError(told, problems) from error
        except SettingError as error:
            raise SettingError(for_programs(str(error))) from error

    return advised


def for_programs(text: str) -> str:
    """Write the options that a text advises as a program gives them.

    Examples
    --------
    >>> for_programs('--map card="Karte" --map games=2')
    'columns={"card": "Karte", "games": 2}'
    >>> for_programs("see --map wins; or leave the line out with --skip-bad")
    'see columns["wins"]; or leave the line out with skip_bad=True'
    """
    text = re.sub(f"{_PAIR}(?: {_PAIR})*", _columns, text)
    text = re.sub(r"--map (\w+)", r'columns["\1"]', text)
    text = re.sub(r"--skill-cuts ([\d.]+),([\d.]+)", r"skill_cuts=[\1, \2]", text)
    text = re.sub("--decimal ([.,])", r'decimal="\1"', text)
    longest_first = sorted(map(re.escape, FLAGS), key=len, reverse=True)
    return re.sub("|".join(longest_first), lambda found: FLAGS[found[0]], text)


def _columns(pairs: re.Match[str]) -> str:
    told = (
        f'"{role}": "{header}"' if header == "HEADER" else f'"{role}": {header}'
        for role, header in re.findall(_PAIR, pairs[0])
    )
    return f"columns={{{', '.join(told)}}}"
