"""Values that need no conversion: what would convert them costs more than reading a table."""

from typing import Any

TEXTS = (str, list[str])


def spare_conversions(command: Any, context: Any) -> None:
    """Let a command take texts and its own defaults as they are.

    Whatever else is given is converted as ever; only then is the converter loaded. A default
    that is no text has to be what the command wants: nothing parses it.

    Parameters
    ----------
    command : TyperCommand or TyperGroup
        Changed in place.
    context : Context
        In which it is called; from there it has its option for help.
    """
    for parameter in command.get_params(context):
        _spare(parameter)


def _spare(parameter: Any) -> None:
    convert = parameter.process_value
    is_text = _takes_text(parameter)

    def process_value(context: Any, value: Any) -> Any:
        missing = parameter.required and not value
        if missing or (_has_text(value) and not is_text):
            return convert(context, value)
        answer = parameter.callback
        return value if answer is None else answer(context, parameter, value)

    parameter.process_value = process_value


def _takes_text(parameter: Any) -> bool:
    """Tell whether typer describes a parameter as text, once or often, that nothing parses."""
    described: Any = getattr(parameter, "type_descriptor", None)
    return (
        described is not None
        and described.annotation in TEXTS
        and described.parameter_info.parser is None
    )


def _has_text(value: Any) -> bool:
    many = value if isinstance(value, list | tuple) else [value]
    return any(isinstance(one, str) for one in many)
