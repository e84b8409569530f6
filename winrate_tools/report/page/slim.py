"""Styles, scripts, templates without the bytes that nobody reads: blanks, remarks, names."""

import re
from collections.abc import Collection

from winrate_tools.report.page.naming import HOLE, LITERAL, renamed

STYLE_BLANKS = re.compile(rf"{LITERAL}|(?<=[{{}};:,>])\s+|\s+(?=[{{}}>])|;\s*(?=\}})")
COLOUR = re.compile(r"--([a-z])[a-z]+(?:,\s*#\w+)?(?=[):])")
SCRIPT_BLANKS = re.compile(rf"{LITERAL}|(?<=[^\w$])\s+|\s+(?=[^\w$])")
NEEDLESS = re.compile(rf"{LITERAL}|;(?=\}})|,(?=[)\]}}])|(?<!\w)\((\w+)\)(?==>)")
SUMMED = re.compile(rf"(`[^`]*`(?:\+`[^`]*`)+)|{LITERAL}")
STATEMENT = re.compile(rf"{LITERAL}|;?\b(?:const|let)\b ?|[(){{}}\[\];]")
REMARK = re.compile(r"^\s*//.*\n", re.MULTILINE)
RUN = re.compile(r"\s+")
BREAK = re.compile(
    r"\n(?=</?(?:head|meta|title|link|style|body|header|nav|main|section|h\d|div|form|figure"
    r"|ul|li|dl|p|table|footer|script)\b)"
)


def slim_style(css: str) -> str:
    r"""Write a style sheet on one line, with the initials of its own colours.

    Where a colour is missing there is no other, since a page has them all.

    Examples
    --------
    >>> slim_style('a {\n  color: red;\n}\nb,\ni::before { content: "is: " }\n')
    'a{color:red}b,i::before{content:"is: "}'
    >>> slim_style("a { color: var(--ink, #000); --ink: #1b1b1b }")
    'a{color:var(--i);--i:#1b1b1b}'
    """
    plain = COLOUR.sub(r"--\1", STYLE_BLANKS.sub(_literal, css))
    return RUN.sub(" ", plain).strip()


def slim_template(html: str) -> str:
    r"""Take out the line breaks before elements that begin a line of their own anyway.

    Examples
    --------
    >>> slim_template("<section>\n<h2>Cut</h2>\n<b>8</b>\n</section>")
    '<section><h2>Cut</h2>\n<b>8</b></section>'
    """
    return BREAK.sub("", html)


def slim_script(script: str, own: Collection[str] = ()) -> str:
    r"""Write a script whose statements end in semicolons without remarks, blanks, long names.

    Parameters
    ----------
    script : str
        A remark has a line of its own, and no template stands inside another.
    own : collection of str, optional
        Properties that nobody else knows, nor the script by a text.

    Returns
    -------
    str
        Constants become variables, which lists of neighbours say once; sums of templates
        become one.

    Examples
    --------
    >>> slim_script('// twice\nconst twice = (x) => {\n  return `${2 * x} a`;\n};\n')
    'let a=b=>{return`${2*b} a`};'
    """
    bare = SCRIPT_BLANKS.sub(_literal, renamed(REMARK.sub("", script), own)).strip()
    bare = SUMMED.sub(lambda found: found[0].replace("`+`", "") if found[1] else found[0], bare)
    return _joined(NEEDLESS.sub(lambda found: found[1] or found[2] or "", bare))


def _joined(script: str) -> str:
    """Make neighbouring statements that give names one statement."""
    gives = [False]

    def part(found: re.Match[str]) -> str:
        text = found[0].replace("const", "let")
        if found[1]:
            return found[1]
        if text in {"(", "[", "{"}:
            gives.append(False)
        elif text in {")", "]", "}"}:
            gives.pop()
        elif text.startswith(";let") and gives[-1]:
            return ","
        else:
            gives[-1] = text != ";"
        return text

    return STATEMENT.sub(part, script)


def _literal(found: re.Match[str]) -> str:
    """Leave texts as they are, but for the code in the holes of templates."""
    if not (found[1] or "").startswith("`"):
        return found[1] or ""
    return HOLE.sub(lambda hole: SCRIPT_BLANKS.sub(_literal, hole[0]), found[1])
