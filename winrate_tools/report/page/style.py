"""The style of a page, whichever it is: colours of both themes, figures, and its own sheet."""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files

from winrate_tools.report.figures.style import PAGE_RULES
from winrate_tools.report.page.slim import slim_style
from winrate_tools.report.palette import DARK, LIGHT, variables


@cache
def page_style(sheet: str) -> str:
    """Write the style of a page whose own rules stand in a sheet of `templates/`."""
    return slim_style(
        f":root{{{variables(LIGHT)}}}\n"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{variables(DARK)}}}}}\n"
        f"{PAGE_RULES}\n{template(sheet)}"
    )


def template(name: str) -> str:
    """Read a file of `templates/`."""
    folder = files("winrate_tools.report.page") / "templates"
    return (folder / name).read_text(encoding="utf-8")


def digest(text: str) -> str:
    """Name a style or a script in a page's policy, so that no other one is obeyed."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"
