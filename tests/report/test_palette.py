"""Colours that can be read by everybody, on light and dark."""

import re
from pathlib import Path

import pytest

from winrate_tools.report import palette
from winrate_tools.report.figures.style import RULES, standalone

THEMES = {"light": palette.LIGHT, "dark": palette.DARK}
COLOUR = re.compile(r"(?<!&)#[0-9a-fA-F]{3,8}\b")
WORDS = re.compile(r"\b(?:fill|stroke|color|background)\s*[:=]\s*\"?([a-z]+)\b")
SOURCES = sorted((Path(palette.__file__).parent / "figures").glob("*.py"))


def contrast(one: str, other: str) -> float:
    """Ratio of two colours: WCAG 2.2, definitions of contrast ratio and relative luminance."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    parts = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_measure_gives_the_standards_own_ends():
    """WCAG 2.2, contrast ratio: from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == 1


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", palette.TEXTS)
def test_text_stands_out_as_success_criterion_1_4_3_asks(name: str, theme: str):
    assert contrast(THEMES[theme][name], THEMES[theme]["ground"]) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("name", palette.MARKS)
def test_marks_stand_out_as_success_criterion_1_4_11_asks(name: str, theme: str):
    assert contrast(THEMES[theme][name], THEMES[theme]["ground"]) >= 3


def test_both_themes_have_the_same_names():
    assert list(palette.LIGHT) == list(palette.DARK)
    assert {*palette.TEXTS, *palette.MARKS} <= set(palette.LIGHT)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_no_figure_has_a_colour_of_its_own(path: Path):
    source = path.read_text(encoding="utf-8")

    assert COLOUR.findall(source) == []
    assert set(WORDS.findall(source)) <= {"none", "var", "current"}


def test_the_style_sheets_use_the_palette_alone():
    colours = {*COLOUR.findall(RULES), *COLOUR.findall(standalone("<svg></svg>"))}

    assert colours
    assert colours <= {*palette.LIGHT.values(), *palette.DARK.values()}


def test_a_page_without_colours_gets_the_light_ones():
    assert palette.colour("keep") == f"var(--keep,{palette.LIGHT['keep']})"
    assert f"--keep:{palette.DARK['keep']}" in palette.variables(palette.DARK).split(";")
