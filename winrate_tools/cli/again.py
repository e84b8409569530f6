"""The command to type next, with the options that were given before."""

from collections.abc import Iterator
from dataclasses import fields
from shlex import join
from typing import Any, get_type_hints

from winrate_tools.cli.output import STDIN


def tell_again(command: str, table: str, *groups: object) -> str | None:
    """Write a command for the same table with the same options.

    Parameters
    ----------
    *groups : dataclass
        Values of options, as `winrate_tools.cli.options` groups them.

    Returns
    -------
    str or None
        A line for the shell; None for standard input, which is read only once.

    Examples
    --------
    >>> from winrate_tools.cli.options import Judging, Reading
    >>> tell_again("rank", "my cards.csv", Judging(margin="3"), Reading(skip_bad=True))
    "winrate-tools rank 'my cards.csv' --margin 3 --skip-bad"
    """
    if table == STDIN:
        return None
    options = [word for group in groups for word in _given(group)]
    return join(["winrate-tools", command, table, *options])


def _given(group: Any) -> Iterator[str]:
    hints = get_type_hints(type(group), include_extras=True)
    for field in fields(group):
        value = getattr(group, field.name)
        if value in (None, False):
            continue
        option = _spelling(field.name, hints[field.name].__metadata__[0])
        if value is True:
            yield option
            continue
        for each in value if isinstance(value, list) else [value]:
            yield from (option, str(each))


def _spelling(name: str, info: Any) -> str:
    """Return the long name of an option; its first declaration stands where a default would."""
    said = [each for each in (info.default, *(info.param_decls or ())) if isinstance(each, str)]
    return next((each for each in said if each.startswith("--")), f"--{name.replace('_', '-')}")
