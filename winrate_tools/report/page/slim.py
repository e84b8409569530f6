"""Pages without the bytes that nobody reads: blanks, remarks and needless quotes."""

import re

from winrate_tools.report.page.naming import LITERAL, renamed, short_names

QUOTED = re.compile(r'(?<==)"([\w.#(),-]+)"(/?)(?=[ >])')
DOTS = re.compile(r'<g class="(\w+)">((?:<use [^>]*><title>[^<]*</title></use>)*)</g>')
PLACE = re.compile(r'<use href="[^"]*" x="([^"]*)" y="([^"]*)">')
SHAPES = re.compile(r'<defs><(?:path|circle) id="\w+-cut".*?</defs>\n?')
STYLE_BLANKS = re.compile(rf"{LITERAL}|(?<=[{{}};:,>])\s+|\s+(?=[{{}}>])")
SCRIPT_BLANKS = re.compile(rf"{LITERAL}|(?<=[^\w$\"`])\s+|\s+(?=[^\w$\"`])")
REMARK = re.compile(r"^\s*//.*\n", re.MULTILINE)
RUN = re.compile(r"\s+")


def slim_picture(svg: str) -> str:
    """Write a picture as it may stand inside a page, which has the shapes of dots.

    Parameters
    ----------
    svg : str
        A picture whose texts have their quotes escaped.

    Returns
    -------
    str

    Examples
    --------
    >>> slim_picture('<circle class="dot" r="3"/>')
    '<circle class=dot r=3 />'
    """
    svg = svg.replace(' xmlns="http://www.w3.org/2000/svg"', "", 1)
    svg = DOTS.sub(_dots, SHAPES.sub("", svg))
    return QUOTED.sub(lambda found: f"{found[1]} /" if found[2] else found[1], svg)


def _dots(found: re.Match[str]) -> str:
    """Draw all dots of a verdict as one line of which only the corners are seen."""
    tone, uses = found.groups()
    points = " ".join(f"{x},{y}" for x, y in PLACE.findall(uses))
    return f'<polyline class="dots {tone}" points="{points}"/>'


def slim_style(css: str) -> str:
    r"""Write a style sheet on one line.

    Examples
    --------
    >>> slim_style('a {\n  color: red;\n}\nb,\ni::before { content: "is: " }\n')
    'a{color:red;}b,i::before{content:"is: "}'
    """
    return RUN.sub(" ", STYLE_BLANKS.sub(_literal, css)).strip()


def slim_script(script: str) -> str:
    r"""Write a script whose statements end in semicolons without remarks, blanks, long names.

    Parameters
    ----------
    script : str
        A remark has a line of its own, and no template stands inside another.

    Returns
    -------
    str

    Examples
    --------
    >>> slim_script('// twice\nconst twice = (x) => {\n  return `${2 * x} a`;\n};\n')
    'let a=(x)=>{return `${2 * x} a`;};'
    """
    bare = REMARK.sub("", script)
    names = {**short_names(bare), "const": "let"}
    return SCRIPT_BLANKS.sub(_literal, renamed(bare, names)).strip()


def _literal(found: re.Match[str]) -> str:
    return found[1] or ""
