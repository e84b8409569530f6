"""The options by which a table is read, and what is said to one that is none."""

from collections.abc import Callable, Mapping
from functools import wraps
from inspect import Parameter, signature
from typing import ParamSpec, TypedDict, TypeVar

from winrate_tools.ingest.roles.mapping import ColumnChoice

Given = ParamSpec("Given")
Result = TypeVar("Result")


class Reading(TypedDict, total=False):
    """How a table is read; every option is explained at `read_cards`, and none is needed."""

    columns: Mapping[str, ColumnChoice] | None
    decimal: str | None
    skip_bad: bool
    sum_duplicates: bool
    use_memory: bool
    name: str | None


def with_known_options(read: Callable[Given, Result]) -> Callable[Given, Result]:
    """Let what reads a table refuse an option that is none, and name those that there are.

    Its options are the parameters that go by name only, else those of `Reading`.

    Raises
    ------
    TypeError
        By the function that is returned.

    Examples
    --------
    >>> read = with_known_options(lambda source, **reading: source)
    >>> read("cards.csv", columns={"games": "Plays"})
    'cards.csv'
    """
    kinds = {name: parameter.kind for name, parameter in signature(read).parameters.items()}
    by_name = [name for name, kind in kinds.items() if kind is Parameter.KEYWORD_ONLY]
    known = by_name or [*Reading.__annotations__]
    others = {name for name, kind in kinds.items() if kind is not Parameter.VAR_KEYWORD}

    @wraps(read)
    def checked(*args: Given.args, **options: Given.kwargs) -> Result:
        for option in options:
            if option not in {*known, *others}:
                msg = (
                    f"there is no option {option!r} for reading a table; there are "
                    f"{', '.join(known)}. Which column holds what is said by "
                    'columns={"games": "Plays"}: role to header'
                )
                raise TypeError(msg)
        return read(*args, **options)

    return checked
