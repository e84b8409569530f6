"""Options in groups: a command takes a few frozen values, its users see every option."""

import inspect
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from typing import Any, get_type_hints

KEYWORD = inspect.Parameter.KEYWORD_ONLY


def with_options(command: Callable[..., None]) -> Callable[..., None]:
    """Spread the dataclasses among a command's arguments into options of their own.

    Parameters
    ----------
    command : callable
        A function whose annotated arguments are options, arguments or dataclasses of them.

    Returns
    -------
    callable
        The same command with one keyword argument for each option.

    Examples
    --------
    >>> from dataclasses import dataclass
    >>> @dataclass(frozen=True)
    ... class Size:
    ...     height: int = 2
    ...     width: int = 3
    >>> @with_options
    ... def area(name: str, size: Size):
    ...     print(name, size.height * size.width)
    >>> print(inspect.signature(area))
    (*, name: str, height: int = 2, width: int = 3)
    >>> area(name="page", height=4, width=5)
    page 20
    """
    signature = inspect.signature(command)
    hints = get_type_hints(command, include_extras=True)
    groups: dict[str, Any] = {name: hint for name, hint in hints.items() if is_dataclass(hint)}

    def run(**values: Any) -> None:
        for name, group in groups.items():
            options = {field.name: values.pop(field.name) for field in fields(group)}
            values[name] = group(**options)
        command(**values)

    parameters: list[inspect.Parameter] = []
    for name, given in signature.parameters.items():
        spread = _spread(groups[name]) if name in groups else [_keyword(given, hints[name])]
        parameters += spread
    run.__signature__ = signature.replace(parameters=parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {given.name: given.annotation for given in parameters}
    run.__name__, run.__doc__ = command.__name__, command.__doc__
    return run


def _keyword(given: inspect.Parameter, hint: object) -> inspect.Parameter:
    return given.replace(kind=KEYWORD, annotation=hint)


def _spread(group: Any) -> list[inspect.Parameter]:
    hints = get_type_hints(group, include_extras=True)
    return [
        inspect.Parameter(
            field.name,
            KEYWORD,
            default=inspect.Parameter.empty if field.default is MISSING else field.default,
            annotation=hints[field.name],
        )
        for field in fields(group)
    ]
