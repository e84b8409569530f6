"""Pictures inside a page: what they share is said once, and the rest by the shortest way."""

import re
from itertools import pairwise

from winrate_tools.report.figures.marks import legend, markers

QUOTED = re.compile(r'(?<==)"([\w.#(),-]+)"(/?)(?=[ >])')
DOTS = re.compile(r'<g class="(\w+)">((?:<use [^>]*><title>[^<]*</title></use>)*)</g>')
PLACE = re.compile(r'<use href="[^"]*" x="([^"]*)" y="([^"]*)">')
SHAPES = re.compile(r'<defs><(?:path|circle) id="\w+-cut".*?</defs>\n?')
OUTSIDE = re.compile(r'(<svg[^>]*?) xmlns="[^"]*"([^>]*?) width="\d+" height="[\d.]+"')
LEGEND = '<use href="#legend"/>'
LINES = re.compile(r' d="((?:M[\d.-]+ [\d.-]+|[HV][\d.-]+|h0)+)"')
COMMAND = re.compile(r"([A-Za-z])([\d.-]+)(?: ([\d.-]+))?")
BARS = re.compile(r'(?<= class=")((?:wide|range)" d=")([^"]*)')
FRACTION = re.compile(r"[\d-]+\.\d+")
CURVES = re.compile(r'(?:<polyline class="curve" points="[^"]*"/>)+')
POINTS = re.compile(r'points="([^"]*)"')
POINT = re.compile(r"([^ ,]+),([^ ,]+)")


def slim_picture(svg: str) -> str:
    """Write a picture as it may stand inside a page, which has the `shapes` of all.

    Parameters
    ----------
    svg : str
        A picture whose texts have their quotes escaped.

    Examples
    --------
    >>> slim_picture('<circle class="dot" r="3"/>')
    '<circle class=dot r=3 />'
    """
    svg = OUTSIDE.sub(r"\1\2", svg, count=1).replace("\n".join(legend()), LEGEND)
    svg = DOTS.sub(_dots, SHAPES.sub("", svg)).replace("\n", "")
    svg = BARS.sub(_bars, svg)
    svg = LINES.sub(lambda found: min(found[0], _steps(found), key=len), svg)
    svg = CURVES.sub(_curves, svg)
    return QUOTED.sub(lambda found: f"{found[1]} /" if found[2] else found[1], svg)


def shapes() -> str:
    """Define what pictures inside a page have in common."""
    return slim_picture(markers() + f'<g id="legend">{"".join(legend())}</g>')


def _dots(found: re.Match[str]) -> str:
    """Draw all dots of a verdict as one line of which only the corners are seen."""
    tone, uses = found.groups()
    points = " ".join(f"{x},{y}" for x, y in PLACE.findall(uses))
    return f'<polyline class="dots {tone}" points="{points}"/>'


def _bars(found: re.Match[str]) -> str:
    """Let bars end at whole pixels, which is nearer than the numbers beside them tell."""
    return found[1] + FRACTION.sub(lambda number: f"{float(number[0]):.0f}", found[2])


def _curves(found: re.Match[str]) -> str:
    """Draw curves that follow one another as one, each from where the last one ended."""
    last, drawn = (0, 0), ""
    for curve in filter(None, POINTS.findall(found[0])):
        points = [(_tenths(x), _tenths(y)) for x, y in POINT.findall(curve)]
        steps = [(x - u, y - v) for (u, v), (x, y) in pairwise([last, *points])]
        last = points[-1]
        drawn += f"m{' '.join(_pair(*step) for step in steps)}"
    return f'<path class="curve" d="{drawn}"/>'


def _steps(found: re.Match[str]) -> str:
    """Draw straight lines by steps from where the last one ended."""
    x = y = 0
    drawn = []
    for command, first, second in COMMAND.findall(found[1]):
        if command == "M":
            drawn.append(f"m{_pair(_tenths(first) - x, _tenths(second) - y)}")
            x, y = _tenths(first), _tenths(second)
        elif command == "H":
            drawn.append(f"h{_shown(_tenths(first) - x)}")
            x = _tenths(first)
        elif command == "V":
            drawn.append(f"v{_shown(_tenths(first) - y)}")
            y = _tenths(first)
        else:
            drawn.append("h0")
    return f' d="{"".join(drawn)}"'


def _pair(x: int, y: int) -> str:
    return f"{_shown(x)}{'' if y < 0 else ' '}{_shown(y)}"


def _tenths(number: str) -> int:
    return round(10 * float(number))


def _shown(tenths: int) -> str:
    """Write tenths of a pixel without a needless nought.

    Examples
    --------
    >>> [_shown(tenths) for tenths in (0, 5, -5, 10, 123)]
    ['0', '.5', '-.5', '1', '12.3']
    """
    whole, rest = divmod(abs(tenths), 10)
    return f"{'-' * (tenths < 0)}{whole or ''}{f'.{rest}' if rest else ''}" if tenths else "0"
