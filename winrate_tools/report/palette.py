"""Colours for a light and a dark page, measured for contrast; marks and words stand beside."""

from collections.abc import Mapping

Theme = Mapping[str, str]

LIGHT: Theme = {
    "ground": "#ffffff",
    "ink": "#1b1b1b",
    "soft": "#595959",
    "rule": "#dcdcdc",
    "line": "#1b1b1b",
    "cut": "#a83c00",
    "keep": "#00664b",
    "wait": "#545454",
}
"""Cut and keep are an orange and a green that colour-blind readers tell apart, darkened."""

DARK: Theme = {
    "ground": "#161616",
    "ink": "#ececec",
    "soft": "#b0b0b0",
    "rule": "#3a3a3a",
    "line": "#ececec",
    "cut": "#ff9d5c",
    "keep": "#4fd1a5",
    "wait": "#b4b4b4",
}

TEXTS = ("ink", "soft", "cut", "keep", "wait")
MARKS = ("line", "cut", "keep", "wait")
"""What has to stand out from the ground; a rule is there to be overlooked."""


def variables(theme: Theme) -> str:
    """Write a theme as CSS custom properties.

    Examples
    --------
    >>> variables({"ink": "#1b1b1b", "cut": "#a83c00"})
    '--ink:#1b1b1b;--cut:#a83c00'
    """
    return ";".join(f"--{name}:{colour}" for name, colour in theme.items())


def colour(name: str) -> str:
    """Refer to a colour of the page; where the page has none, the light one.

    Examples
    --------
    >>> colour("cut")
    'var(--cut,#a83c00)'
    """
    return f"var(--{name},{LIGHT[name]})"
