"""What the command line itself refuses, in the words of every other error."""

import re
from collections.abc import Callable, Iterable
from typing import Any

import typer

from winrate_tools.cli.suggest import did_you_mean

ClickException: type[Exception] = next(
    kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException"
)
REWORDED = (
    (r"^No such option: (\S+?)\.?$", r"there is no option \1"),
    (r"^No such command '(.*?)'\.(?: Did you mean '(.*?)'\?)?$", r"there is no command '\1'"),
    (r"^Option '(.*?)' requires an argument\.$", r"\1 must be followed by a value"),
    (r"^Option '(.*?)' does not take a value\.$", r"\1 takes no value"),
    (r"^Got unexpected extra arguments?(?:\(s\))? \((.*)\)$", r"nothing asks for \1"),
)


def one_of(choices: Iterable[str]) -> Callable[[str], str]:
    """Return a parser that takes one of some words."""
    known = [str(choice) for choice in choices]

    def parse(text: str) -> str:
        if text not in known:
            wanted = f"{', '.join(known[:-1])} or {known[-1]}"
            msg = f"must be {wanted}, got {text!r}{did_you_mean(text, known)}"
            raise typer.BadParameter(msg)
        return text

    return parse


def count(text: str) -> int:
    """Take a whole number from 1."""
    if not re.fullmatch(r"0*[1-9]\d{0,17}", text):
        msg = f"must be a whole number from 1, got {text!r}"
        raise typer.BadParameter(msg)
    return int(text)


def misuse(error: Any) -> str:
    """Tell what the command line refuses, in one line: what was wanted, then what came."""
    option = getattr(error, "param", None)
    if option is None:
        return _reworded(error)
    name = max(option.opts, key=len)
    if not name.startswith("-"):
        name = option.metavar or name.upper()
    if type(error).__name__ == "MissingParameter":
        return f"{name} is missing; {error.ctx.command_path} -h shows how"
    return f"{name} {error.message}"


def _reworded(error: Any) -> str:
    said = " ".join(error.message.split())
    hint = re.search(r" Did you mean '(.*?)'\?$", said)
    near = getattr(error, "possibilities", None) or (hint and [hint[1]])
    for pattern, words in REWORDED:
        if re.search(pattern, said):
            said = re.sub(pattern, words, said)
            break
    else:
        said = said[:1].lower() + said[1:].rstrip(".")
    return f"{said}; did you mean {near[0]!r}?" if near else said
