"""The style of a page."""

import pytest

from winrate_tools.report.page.style import digest, page_style
from winrate_tools.report.palette import DARK, LIGHT


@pytest.mark.parametrize("sheet", ["page.css", "plain.css"])
def test_a_page_has_the_colours_of_both_themes_and_the_rules_of_figures(sheet: str):
    style = page_style(sheet)

    light, dark = (style.index(theme["keep"]) for theme in (LIGHT, DARK))
    assert light < style.index("prefers-color-scheme:dark") < dark
    assert ".range{stroke-width:4}" in style
    assert "\n" not in style


def test_a_text_is_named_by_its_sha_256():
    # FIPS 180-4, the example of one block ("abc"): ba7816bf 8f01cfea ... f20015ad.
    assert digest("abc") == "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='"
