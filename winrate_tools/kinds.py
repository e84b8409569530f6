"""Of what kind a value is, and whether it is the kind that the annotation of a field names.

Tables, their rows and choices are made by users too, so their fields are checked in one place.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Set
from contextlib import suppress
from dataclasses import fields
from functools import cache, lru_cache
from numbers import Integral, Real
from operator import attrgetter
from reprlib import repr as in_short
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from winrate_tools.errors import WinrateError

NUMBERS: dict[type, type] = {int: Integral, float: Real}
UNIONS = (Union, UnionType)
PAIRS = frozenset({tuple})
WORDS: dict[type, str] = {
    bool: "True or False",
    dt.date: "a day such as date(2026, 1, 31)",
    float: "a number",
    int: "a whole number",
    str: "text",
    type(None): "None",
}
"""What a field wants, in words; a class that is not named here is told by its name."""


def demand_kinds(made: Any, error: type[WinrateError], name: object = None) -> None:
    """Refuse a table or choices with a field that is not of the kind it says.

    Where a field is a tuple, lists and whatever else holds items are made one; where it is a
    day, a moment stands for its day.

    Parameters
    ----------
    made : object
        Of a dataclass, frozen or not.
    error : type
        What to raise.
    name : object, optional
        Whose fields these are: told first, if it is a text.

    Raises
    ------
    WinrateError
        Of the type given: which field, what it takes, and what came.

    Examples
    --------
    >>> from winrate_tools.pools import PoolCard
    >>> PoolCard("Ash Vine", 2.5)
    Traceback (most recent call last):
    winrate_tools.errors.CountError: 'Ash Vine': copies must be a whole number, got 2.5
    """
    made_of: Any = type(made)
    for field in _misfits(made_of, *_shapes(_values(made_of)(made))):
        wanted = _kinds(made_of)[field]
        value = _settled(getattr(made, field), wanted)
        if not fits(wanted, _shape(value)):
            whose = f"{name!r}: " if isinstance(name, str) else ""
            msg = f"{whose}{field} must be {_wanted_and_got(wanted, value)}"
            raise error(msg)
        object.__setattr__(made, field, value)


def number_column(name: str, values: Any, error: type[WinrateError]) -> Any:
    """Make an array of what holds numbers, or nothing for some of them; None stays None.

    Parameters
    ----------
    name : str
        What holds them.
    values : array_like or None
    error : type
        What to raise.

    Returns
    -------
    numpy.ndarray or None

    Raises
    ------
    WinrateError
        Of the type given, if anything else is among them, such as a text or True.

    Examples
    --------
    >>> number_column("games", [90, None], WinrateError).tolist()
    [90.0, nan]
    """
    import numpy as np

    if values is None:
        return None
    with suppress(TypeError, ValueError, OverflowError):
        cells = np.asarray(values)
        if cells.ndim and cells.dtype.kind in "iuf":
            return cells
        kinds = set(map(type, cells)) if cells.dtype.kind == "O" else {str}
        if not any(issubclass(kind, str | bytes | bool | np.bool_) for kind in kinds):
            return np.asarray(values, dtype=np.float64)
    wanted = tuple[float | None, ...]
    msg = f"{name} must be {_wanted_and_got(wanted, _settled(values, wanted))}"
    raise error(msg)


@cache
def _kinds(made: Any) -> dict[str, Any]:
    """Tell what each field of a dataclass takes."""
    return {field.name: field.type for field in fields(made)}


@cache
def _values(made: Any) -> Callable[[object], tuple[Any, ...]]:
    """Give what takes the values of all fields out of one."""
    return attrgetter(*_kinds(made))


def _shapes(values: tuple[Any, ...]) -> tuple[tuple[type, ...], tuple[Any, ...]]:
    """Tell the types of values, and the shapes of those that are tuples."""
    types = tuple(map(type, values))
    return types, tuple([_shape(values[place]) for place in _tuples(types)])


@lru_cache(1024)
def _tuples(types: tuple[type, ...]) -> list[int]:
    return [place for place, one in enumerate(types) if issubclass(one, tuple)]


@lru_cache(1024)
def _misfits(made: Any, types: tuple[type, ...], tuples: tuple[Any, ...]) -> list[str]:
    """Name the fields that do not take what they were given."""
    shapes = dict(enumerate(types)) | dict(zip(_tuples(types), tuples, strict=True))
    kinds = enumerate(_kinds(made).items())
    return [name for place, (name, wanted) in kinds if not fits(wanted, shapes[place])]


def _shape(value: object) -> Any:
    """Tell the type of a value; of a tuple those of its items, of pairs those of both."""
    if not isinstance(value, tuple):
        return type(value)
    shapes = frozenset(map(type, value))
    return frozenset(tuple(map(type, pair)) for pair in value) if shapes == PAIRS else shapes


def fits(wanted: Any, shape: Any) -> bool:
    """Tell whether an annotation takes a value of a type, or what `_shape` tells of a list.

    Examples
    --------
    >>> fits(int | None, int), fits(int | None, bool), fits(float, int)
    (True, False, True)
    """
    kind, parts = get_origin(wanted), get_args(wanted)
    if kind in UNIONS:
        return any(fits(part, shape) for part in parts)
    if isinstance(shape, frozenset):
        return kind is tuple and all(fits(parts[0], each) for each in shape)
    if isinstance(shape, tuple):
        return kind is tuple and len(shape) == len(parts) and all(map(fits, parts, shape))
    if kind is Literal:
        return issubclass(shape, str)
    return _is_kind(shape, kind or wanted)


def _is_kind(shape: type, wanted: type) -> bool:
    """Tell whether values of a type are of the kind wanted: True is no number, noon no day."""
    if wanted is bool:
        return shape.__name__ == "bool"
    if wanted in NUMBERS:
        return issubclass(shape, NUMBERS[wanted]) and not issubclass(shape, bool)
    return issubclass(shape, wanted) and not (
        wanted is dt.date and issubclass(shape, dt.datetime)
    )


def _items(wanted: Any) -> Any:
    """Tell what the items are of where a tuple is wanted, else None."""
    kinds = get_args(wanted) if get_origin(wanted) in UNIONS else (wanted,)
    return next((get_args(kind)[0] for kind in kinds if get_origin(kind) is tuple), None)


def holds_items(value: object) -> bool:
    """Tell what holds items in a row from texts, and from what has no order or more sides."""
    has_one_side = len(getattr(value, "shape", (0,))) == 1
    return (
        isinstance(value, Iterable)
        and has_one_side
        and not isinstance(value, str | bytes | Mapping | Set)
    )


def _settled(value: Any, wanted: Any) -> Any:
    """Make what holds items a tuple, pairs in it too, and a moment its day, where wanted."""
    if isinstance(value, dt.datetime) and fits(wanted, dt.date):
        return value.date()
    items = _items(wanted)
    if items is None or not holds_items(value):
        return value
    if get_origin(items) is not tuple:
        return tuple(value)
    return tuple(tuple(item) if isinstance(item, list) else item for item in value)


def _wanted_and_got(wanted: Any, value: Any) -> str:
    words, items = _words(wanted), _items(wanted)
    if items is not None and isinstance(value, tuple):
        wrong = [item for item in value if not fits(items, *_shape((item,)))]
        return f"{words}, got {f'{_told(wrong[0])} among them' if wrong else _told(value)}"
    quoted = items is None and isinstance(value, str) and " number" in words
    return f"{words}{', without quotes' if quoted else ''}, got {_told(value)}"


def _told(value: object) -> str:
    """Show a value in short and on one line."""
    return " ".join(in_short(value).split())


def _words(wanted: Any) -> str:
    kind, parts = get_origin(wanted), get_args(wanted)
    if kind in UNIONS:
        return " or ".join(map(_words, parts))
    if kind is Literal:
        return " or ".join(map(repr, parts))
    if kind is None:
        return WORDS.get(wanted, f"a {wanted.__name__}")
    return f"a list of {_many(parts[0]) if kind is tuple else 'numbers'}"


def _many(wanted: Any) -> str:
    """Say what the items of a list are; None among them goes without saying."""
    kind, parts = get_origin(wanted), get_args(wanted)
    if kind is tuple:
        return f"pairs of {' and '.join(map(_words, parts))}"
    if kind in UNIONS:
        return _many(parts[0])
    return {str: "texts", float: "numbers"}.get(wanted) or _words(wanted).removeprefix("a ")
