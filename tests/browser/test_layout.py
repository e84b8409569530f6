"""How the page looks: nothing clipped, legible in every light, and open to everyone."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.opening import SAMPLES, Open, moved
from winrate_tools import packs, read_pool
from winrate_tools.report.page.plain import plain_page

LOOKS = {
    "light": {},
    "dark": {"color_scheme": "dark"},
    "phone": {"viewport": {"width": 375, "height": 800}},
}
CLIPPED = """() => [...document.querySelectorAll("h1, h2, h3, p, li, td, th, dd, dt, button")]
    .filter(node => node.checkVisibility() && node.id !== "spoken")
    .filter(node => node.scrollWidth > node.clientWidth + 1
        && getComputedStyle(node).display !== "inline")
    .map(node => node.outerHTML.slice(0, 80))"""
OUTSIDE = """() => [...document.querySelectorAll("td, th, button, select, input, p, li")]
    .filter(node => node.checkVisibility() && !node.closest("figure, .scroller, #spoken"))
    .filter(node => node.getBoundingClientRect().right > innerWidth + 1)
    .map(node => node.outerHTML.slice(0, 80))"""


def opened(open_page: Open, width: int, table: str = "cards_by_archetype") -> Page:
    """Open a page in the state that takes the most room: moved, with a card open."""
    page = open_page(table, every=2, viewport={"width": width, "height": 800}).page
    moved(page, 9)
    page.locator("#cards tbody th button").first.click()
    return page


@pytest.mark.parametrize("width", [320, 375, 690, 1000])
@pytest.mark.parametrize("table", ["cards", "cards_by_archetype"])
def test_nothing_is_clipped_and_the_page_never_scrolls_sideways(
    open_page: Open, table: str, width: int
):
    page = opened(open_page, width, table)

    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert page.evaluate(CLIPPED) == []
    assert page.evaluate(OUTSIDE) == []


@pytest.mark.parametrize("width", [375, 1000, 1152])
def test_the_widest_table_of_a_plain_page_has_room(open_page: Open, tmp_path: Path, width: int):
    page = open_page("cards", every=9, viewport={"width": width, "height": 800}).page
    seen = packs(read_pool(SAMPLES / "pool.csv"), seats=5)
    (tmp_path / "seen.html").write_text(plain_page(seen.document), encoding="utf-8")

    page.goto((tmp_path / "seen.html").as_uri())

    widths = page.locator(".scroller").evaluate_all(
        "frames => frames.map(frame => frame.scrollWidth - frame.clientWidth)"
    )
    assert len(widths) > 4
    assert max(widths) <= 1


CHARTS = """() => [...document.querySelectorAll("figure")].map(figure => {
    const frame = figure.querySelector(".scroller");
    const hint = getComputedStyle(figure.querySelector("figcaption"), "::after").content;
    return [frame.scrollWidth > frame.clientWidth, hint.includes("Scroll the chart sideways")];
})"""


@pytest.mark.parametrize(("width", "is_cut"), [(375, True), (696, True), (700, False)])
def test_charts_that_are_cut_say_that_they_scroll(open_page: Open, width: int, is_cut: bool):
    page = open_page("cards", every=9, viewport={"width": width, "height": 800}).page

    assert page.evaluate(CHARTS) == [[is_cut, is_cut]] * 4


@pytest.mark.parametrize("look", LOOKS)
def test_nothing_keeps_anyone_out(open_page: Open, look: str):
    page = open_page("cards_by_archetype", every=9, bypass_csp=True, **LOOKS[look]).page
    moved(page, 9)
    page.locator("#cards tbody th button").first.click()

    found = Axe().run(page).response["violations"]

    assert [(it["id"], [node["html"][:80] for node in it["nodes"]][:3]) for it in found] == []


def test_the_page_follows_the_readers_choice_of_light_or_dark(open_page: Open):
    grounds = [
        open_page("cards", every=9, color_scheme=scheme).page.evaluate(
            "getComputedStyle(document.body).backgroundColor"
        )
        for scheme in ("light", "dark")
    ]

    assert grounds == ["rgb(255, 255, 255)", "rgb(22, 22, 22)"]


@pytest.mark.parametrize("reach", ["#line", "#sure", "#find", "#cards thead button", "nav a"])
def test_what_has_the_focus_is_outlined(open_page: Open, reach: str):
    page = open_page("cards", every=9).page
    page.keyboard.press("Tab")
    page.locator(reach).first.focus()

    outline = page.locator(reach).first.evaluate("node => getComputedStyle(node).outlineStyle")

    assert outline == "solid"


def test_a_phone_shows_every_fact_with_its_name(open_page: Open):
    page = open_page("cards", every=9, viewport={"width": 375, "height": 800}).page

    row = page.locator("#cards tbody tr").first
    shown = [cell.is_visible() for cell in row.locator("td").all()]
    names = row.evaluate(
        """row => [...row.cells].map(cell => ["::before", "::after"].map(
            part => getComputedStyle(cell, part).content).join(" "))"""
    )

    assert shown == [True] * 9
    assert [name for name in names if "rank" in name or "games" in name or "raw" in name]


def test_a_phone_does_not_say_that_no_games_lie_below(open_page: Open):
    page = open_page("cards", every=9, viewport={"width": 375, "height": 800}).page

    around = page.locator("#cards tbody tr td:nth-child(3)").first.evaluate(
        "cell => ['::before', '::after'].map(part => getComputedStyle(cell, part).content)"
    )

    assert around == ['"below: "', "none"]


def test_the_three_verdicts_differ_without_colour(open_page: Open):
    page = open_page("cards", every=3).page

    texts = set(page.locator("#cards tbody td:nth-child(2)").all_text_contents())

    assert texts == {"▼ cut", "○ more games", "▲ keep"}


@pytest.mark.parametrize("width", [375, 1000])
def test_cards_that_were_not_looked_for_are_not_seen(open_page: Open, width: int):
    page = open_page("cards", every=9, viewport={"width": width, "height": 800}).page
    name = page.locator("#cards tbody th").first.text_content()
    page.locator("#find").fill(name)

    rows = page.locator("#cards tbody tr").all()

    assert [row.is_visible() for row in rows] == [True] + [False] * (len(rows) - 1)
