"""Short names for what only a script itself knows, so that its source may speak plainly."""

import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import chain, product
from string import ascii_letters
from typing import Literal, NamedTuple

LITERAL = r'("[^"\n]*"|`[^`]*`|(?<![\w)\]])(?<![\w)\]] )/[^/\n]+/\w*)'
"""Texts, templates and patterns, of which only templates hold code."""
HOLE = re.compile(r"(?<=\$\{)([^{}]*)(?=\})")
NEXT = re.compile(r"\s*(\S)")
PIECE = re.compile(rf"{LITERAL}|\.\.\.|\?\.|\d[\w.]*|[A-Za-z_]\w*|\s+|.")
GIVEN = re.compile(r"\b(?:const|let) (\w+|\[[^\]]*\])|\(((?:[^()]|\([^()]*\))*)\) =>")
EACH = re.compile(r"(?:^|[,\[])\s*(?:\.\.\.)?(\w+)")
WORDS_OF_SCRIPTS = frozenset(("as", "do", "if", "in", "is", "of"))


Role = Literal["code", "text", "name", "property", "key", "both"]


OF_OBJECTS = {"property", "key", "both"}


class Part(NamedTuple):
    """A piece of a script; names may be ``name``, ``.name``, ``{name:`` or ``{name}``."""

    text: str
    role: Role


def renamed(script: str, own: Collection[str] = ()) -> str:
    """Give a letter or two to every constant, variable and parameter.

    Parameters
    ----------
    script : str
        Without remarks; no template stands inside another.
    own : collection of str, optional
        Properties that nobody else knows, nor the script by a text.

    Returns
    -------
    str
        The same with the shortest names for what is used most. Other properties and keys than
        its own keep their names, since others may know them by those; so do keys in quotes.

    Examples
    --------
    >>> renamed("const size = 2; const count = (rate) => rate + f(rate, size, x.size);")
    'const a = 2; const b = (c) => c + f(c, a, x.size);'
    >>> renamed("const { size, rate } = of(it); say(`size ${size}`);")
    'const { size:a, rate:b } = of(it); say(`size ${a}`);'
    >>> renamed("const box = { size: 1, a: 2 }; f(box.size);", own={"size"})
    'const a = { b: 1, a: 2 }; f(a.b);'
    """
    statements = list(_statements(_parts(script)))
    used = Counter(name for statement in statements for name in _used(statement))
    known = {name for statement in statements for name in _known_to_all(statement)}
    given = {name for statement in statements for name in _given(statement)}
    names = _shortest(known, used, avoided=set(used) - given)
    keys = Counter(part.text for part in chain(*statements) if part.role in OF_OBJECTS)
    short = _shortest(keys.keys() & set(own), keys, avoided=set(keys))
    return "".join(_written(statement, names, short) for statement in statements)


def _written(
    statement: Sequence[Part], known: Mapping[str, str], keys: Mapping[str, str]
) -> str:
    """Write a statement with the names that all know, and short ones for those inside."""
    used = Counter(_used(statement))
    inside = _given(statement) - set(known)
    avoided = {known.get(name, name) for name in set(used) - inside}
    names = {**known, **_shortest(inside, used, avoided)}
    return "".join(
        _with_name(part, names.get(part.text, part.text), keys.get(part.text, part.text))
        for part in statement
    )


def _with_name(part: Part, name: str, key: str) -> str:
    if part.role == "both" and name != key:
        return f"{key}:{name}"
    return name if part.role == "name" else key


def _parts(script: str) -> Iterator[Part]:
    """Take a script apart, and its templates around the code in their holes."""
    for part in _pieces(script):
        if not part.text.startswith("`"):
            yield part
            continue
        for number, text in enumerate(HOLE.split(part.text)):
            yield from _pieces(text) if number % 2 else (Part(text, "text"),)


def _pieces(code: str) -> Iterator[Part]:
    inside, before = [""], ""
    for found in PIECE.finditer(code):
        text = found[0]
        if text in {"(", "[", "{"}:
            inside.append(text)
        elif text in {")", "]", "}"}:
            inside.pop()
        if found[1]:
            yield Part(text, "text")
        elif not text[0].isalpha():
            yield Part(text, "code")
        else:
            after = NEXT.match(code, found.end())
            yield Part(text, _role(before, after[1] if after else "", inside[-1]))
        before = before if text.isspace() else text


def _role(before: str, after: str, inside: str) -> Role:
    """Tell how a name stands between two pieces, inside a bracket."""
    if before in {".", "?."}:
        return "property"
    if inside == "{" and before in {"{", ","} and after in {":", ",", "}"}:
        return "key" if after == ":" else "both"
    return "name"


def _statements(parts: Iterable[Part]) -> Iterator[list[Part]]:
    """Part a script where no bracket is open."""
    statement: list[Part] = []
    depth = 0
    for part in parts:
        statement.append(part)
        depth += _step(part)
        if part.text == ";" and not depth:
            yield statement
            statement = []
    yield statement


def _known_to_all(statement: Sequence[Part]) -> Iterator[str]:
    """Find what is given where no bracket is open: the names between a `const` and its `=`."""
    depth, gives = 0, False
    for part in statement:
        if part.text in {"const", "let"} and not depth:
            gives = True
        elif part.text in {"=", ";"}:
            gives = False
        elif gives and part.role in {"name", "both"}:
            yield part.text
        depth += _step(part)


def _step(part: Part) -> int:
    """Return 1 where a bracket opens, -1 where one closes."""
    if part.role != "code":
        return 0
    return (part.text in {"(", "[", "{"}) - (part.text in {")", "]", "}"})


def _used(parts: Iterable[Part]) -> Iterator[str]:
    return (part.text for part in parts if part.role in {"name", "both"})


def _given(statement: Sequence[Part]) -> set[str]:
    """Find the names of constants, variables and parameters of a statement."""
    code = "".join(part.text for part in statement if part.role != "text")
    given = {name for found in GIVEN.findall(code) for name in EACH.findall("".join(found))}
    return (given | {part.text for part in statement if part.role == "both"}) - WORDS_OF_SCRIPTS


def _shortest(
    given: Iterable[str], used: Mapping[str, int], avoided: set[str]
) -> dict[str, str]:
    """Choose a short name for each given one, the most used first."""
    order = sorted(given, key=lambda name: (-used[name], name))
    free = (name for name in _letters() if name not in avoided)
    return dict(zip(order, free, strict=False))


def _letters() -> Iterator[str]:
    """Yield names of one letter, then of two."""
    yield from ascii_letters
    for pair in product(ascii_letters, repeat=2):
        if (name := "".join(pair)) not in WORDS_OF_SCRIPTS:
            yield name
