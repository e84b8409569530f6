"""Short names for what only a script itself knows, so that its source may speak plainly."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import product
from string import ascii_letters

LITERAL = r'("[^"\n]*"|`[^`]*`|(?<![\w)\]])(?<![\w)\]] )/[^/\n]+/\w*)'
"""Texts, templates and patterns, of which only templates hold code."""
HOLE = re.compile(r"\$\{[^{}]*\}")
TOKEN = re.compile(rf"{LITERAL}|[A-Za-z_]\w*")
CONSTANT = re.compile(r"\b(?:const|let) (\w+|\[[^\]]*\])")
PARAMETERS = re.compile(r"\(([^(){}]*)\) =>")
EACH = re.compile(r"(?:^|[,\[])\s*(?:\.\.\.)?(\w+)")
PROPERTY = re.compile(r"(?<!\.)\.\s*(\w+)")
SHORT = 2
WORDS_OF_SCRIPTS = frozenset(("as", "do", "if", "in", "is", "of"))


def renamed(script: str, names: Mapping[str, str]) -> str:
    """Put other names in a script's code, also in that inside its templates.

    Examples
    --------
    >>> renamed('say("size", `${size} of size`);', {"size": "a"})
    'say("size", `${a} of size`);'
    """

    def part(found: re.Match[str]) -> str:
        if found[0].startswith("`"):
            return HOLE.sub(lambda hole: TOKEN.sub(part, hole[0]), found[0])
        return names.get(found[0], found[0])

    return TOKEN.sub(part, script)


def short_names(script: str) -> dict[str, str]:
    """Choose a letter or two for every name that a script gives and that is no property.

    Parameters
    ----------
    script : str
        Without remarks; no template stands inside another.

    Returns
    -------
    dict of str to str
        Long name to short, the names most used first. What is anywhere a property, a key or
        listed in braces keeps its name, since others may know it by that.

    Examples
    --------
    >>> short_names("const size = 2; const count = (rate) => f(rate, size, { count });")
    {'rate': 'a', 'size': 'b'}
    """
    code = re.sub(LITERAL, _holes, script)
    known = {*PROPERTY.findall(code), *_keys(code)}
    given = {*_given(code)} - known
    used = Counter(re.findall(r"\w+", code))
    order = sorted((name for name in given if len(name) > SHORT), key=lambda n: (-used[n], n))
    free = (name for name in _letters() if name not in used)
    return dict(zip(order, free, strict=False))


def _holes(found: re.Match[str]) -> str:
    """Leave of a literal the code that it holds, without the braces around it."""
    return "; ".join(re.sub(r'"[^"]*"', '""', hole[2:-1]) for hole in HOLE.findall(found[0]))


def _given(code: str) -> Iterator[str]:
    for found in CONSTANT.findall(code):
        yield from EACH.findall(found)
    for found in PARAMETERS.findall(code):
        yield from EACH.findall(found)


def _keys(code: str) -> Iterator[str]:
    """Find what stands in braces as a key or as its own key, not in calls or brackets."""
    inside: list[str] = []
    before = ""
    for found in re.finditer(r"\w+|[^\w\s]", code):
        token = found[0]
        if token in "([{":
            inside.append(token)
        elif token in ")]}":
            inside.pop()
        elif token[0].isalpha() and inside[-1:] != ["("] and inside[-1:] != ["["]:
            after = code[found.end() :].lstrip()[:1]
            if before in {"{", ","} and after in {",", "}", ":"}:
                yield token
        before = token


def _letters() -> Iterator[str]:
    """Yield names of one letter, then of two."""
    yield from ascii_letters
    for pair in product(ascii_letters, repeat=2):
        if (name := "".join(pair)) not in WORDS_OF_SCRIPTS:
            yield name
