"""What the jobs of the library are handed: checked tables, not paths or frames."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import wraps
from inspect import signature
from pathlib import Path
from reprlib import repr as in_short
from typing import Any, ParamSpec, TypeVar, get_args, get_origin

from winrate_tools.errors import OutputError, SettingError
from winrate_tools.kinds import UNIONS, fits, holds_items

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
PLAIN = {
    "changed": "a mapping of archetypes to the first day of the change or to None, such as "
    '{"Kites": date(2026, 1, 31)} or {"Kites": None}',
    "force": "True or False",
    "games": "a list of whole numbers, such as [100, 1000]",
    "gaps": "a list of numbers, such as [0.01, 0.02]",
    "packs": "a whole number",
    "path": "a path",
    "places": 'a mapping of slots to whole numbers, such as {"lantern": 1}',
    "progress": "a function of a whole number, such as print",
    "reasons": 'a mapping of cards to texts, such as {"Tin Moth": "too weak"}',
    "seats": "a whole number",
    "size": "a whole number",
}
"""The other parameters of the jobs, in words; what they take is what their annotations say."""


def demanding_tables(job: Callable[Given, Result]) -> Callable[Given, Result]:
    """Let a job refuse whatever is not what a parameter takes.

    Parameters
    ----------
    job : callable
        Its parameters say what they want; those that want none of `MAKERS` and have no words
        in `PLAIN` are left alone.

    Returns
    -------
    callable
        The same job, which raises `SettingError` and says what is wanted, and what makes such
        a table; and which advises ``force=True`` where the command line has ``--force``.

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
        if _made(parameter.annotation) or name in PLAIN
    }

    @wraps(job)
    def checked(*args: Given.args, **options: Given.kwargs) -> Result:
        for name, value in parameters.bind(*args, **options).arguments.items():
            if name in wanted and not _is_of(value, wanted[name]):
                raise SettingError(_refusal(name, value, wanted[name]))
        try:
            return job(*args, **options)
        except OutputError as error:
            raise OutputError(str(error).replace("--force", "force=True")) from error

    return checked


def _made(annotation: Any) -> str:
    """Name the kind of table or result among what a parameter takes, "" for none."""
    kinds = get_args(annotation) or (annotation,)
    names = [getattr(kind, "__name__", "") for kind in kinds]
    return next((name for name in names if name in MAKERS), "")


def _is_of(value: Any, annotation: Any) -> bool:
    """Tell whether a value, with all that it holds, is what an annotation names."""
    kind, parts = get_origin(annotation), get_args(annotation)
    if kind is Mapping:
        return isinstance(value, Mapping) and all(
            _is_of(key, parts[0]) and _is_of(held, parts[1]) for key, held in value.items()
        )
    if kind is Sequence:
        return _is_list(value) and all(_is_of(each, parts[0]) for each in value)
    if kind is Callable:
        return callable(value)
    if kind in UNIONS:
        return any(_is_of(value, part) for part in parts)
    return fits(annotation, type(value)) or (annotation is date and isinstance(value, date))


def _is_list(value: object) -> bool:
    """Tell a list, array or column of a frame from texts, mappings and what is read once."""
    return hasattr(value, "__len__") and holds_items(value)


def _refusal(name: str, value: object, annotation: Any) -> str:
    kind = _made(annotation)
    if not kind:
        return f"{name} must be {PLAIN[name]}, got {in_short(value)}"
    wanted = f"{name} must be {'an' if kind[0] == 'A' else 'a'} {kind}"
    if isinstance(value, str | Path) and "{}" in MAKERS[kind]:
        path = repr(str(value))
        return f"{wanted}, got the path {path}; read it first: {MAKERS[kind].format(path)}"
    got = f"a value of type {type(value).__name__}"
    return f"{wanted}, got {got}; {MAKERS[kind].format('...')} gives one"
