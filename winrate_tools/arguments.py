"""What the jobs of the library are handed: checked tables, not paths or frames."""

from collections.abc import Callable
from functools import wraps
from inspect import signature
from pathlib import Path
from typing import Any, ParamSpec, TypeVar, get_args

from winrate_tools.errors import SettingError

Given = ParamSpec("Given")
Result = TypeVar("Result")
MAKERS = {
    "Answer": "rank(read_cards({}))",
    "ArchetypeTable": "read_archetypes({})",
    "CandidateTable": "read_candidates({})",
    "CardTable": "read_cards({})",
    "Goals": "Goals(changes=10)",
    "MatchTable": "read_matches({})",
    "PoolTable": "read_pool({})",
    "Ranking": "rank(read_cards({}))",
    "Settings": "Settings(margin=0.02)",
}
"""What a job may want, and what makes one, of a file where one can."""


def demanding_tables(job: Callable[Given, Result]) -> Callable[Given, Result]:
    """Let a job refuse whatever is not the table, result or choices that a parameter names.

    Parameters
    ----------
    job : callable
        Its parameters say what they want; those that want none of `MAKERS` are left alone.

    Returns
    -------
    callable
        The same job, which raises `SettingError` and says what makes such a table.

    Examples
    --------
    >>> from winrate_tools.tables import CardTable
    >>> @demanding_tables
    ... def rows(cards: CardTable) -> int:
    ...     return len(cards)
    >>> rows(CardTable(["Ash Vine"], [90], [40]))
    1
    >>> rows("cards.csv")
    Traceback (most recent call last):
    winrate_tools.errors.SettingError: cards must be a CardTable, got the path 'cards.csv'; \
read it first: read_cards('cards.csv')
    """
    parameters = signature(job)
    wanted = {
        name: parameter.annotation
        for name, parameter in parameters.parameters.items()
        if _made(parameter.annotation)
    }

    @wraps(job)
    def checked(*args: Given.args, **options: Given.kwargs) -> Result:
        for name, value in parameters.bind(*args, **options).arguments.items():
            if name in wanted and not isinstance(value, wanted[name]):
                raise SettingError(_refusal(name, value, _made(wanted[name])))
        return job(*args, **options)

    return checked


def _made(annotation: Any) -> str:
    """Name the kind of table or result among what a parameter takes, "" for none."""
    kinds = get_args(annotation) or (annotation,)
    names = [getattr(kind, "__name__", "") for kind in kinds]
    return next((name for name in names if name in MAKERS), "")


def _refusal(name: str, value: object, kind: str) -> str:
    wanted = f"{name} must be {'an' if kind[0] == 'A' else 'a'} {kind}"
    if isinstance(value, str | Path) and "{}" in MAKERS[kind]:
        path = repr(str(value))
        return f"{wanted}, got the path {path}; read it first: {MAKERS[kind].format(path)}"
    got = f"a value of type {type(value).__name__}"
    return f"{wanted}, got {got}; {MAKERS[kind].format('...')} gives one"
