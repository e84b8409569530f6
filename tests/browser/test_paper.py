"""The page on paper, and without its script."""

import re
import subprocess
from pathlib import Path

import pytest

from tests.browser.opening import Open, Opened, moved, ranked
from winrate_tools.report.words import exact_percent


@pytest.fixture(scope="module")
def printed(open_page: Open, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Return the text of each printed page."""
    page = open_page("cards", color_scheme="dark").page
    path = tmp_path_factory.mktemp("paper") / "report.pdf"
    page.pdf(path=path, prefer_css_page_size=True)
    return text_of(path)


def text_of(path: Path) -> list[str]:
    done = subprocess.run(
        ["pdftotext", "-layout", path, "-"], stdout=subprocess.PIPE, check=True, text=True
    )
    return done.stdout.rstrip("\f").split("\f")


def test_the_first_printed_page_holds_the_summary_and_a_picture(printed: list[str]):
    first = printed[0]

    assert "In one minute" in first
    assert "What luck alone would do" in first
    assert "games (log scale)" in first
    assert "Cards one by one" in first


def test_every_printed_page_of_the_table_has_its_headings(printed: list[str]):
    row = re.compile(r"[▲▼] \w+ .* settled")
    rows = [i for i, text in enumerate(printed) if row.search(text)]

    heads = [row.split(printed[i], 1)[0].split() for i in rows]

    assert len(rows) > 3
    assert [
        i for i, head in zip(rows, heads, strict=True) if not {"Card", "Verdict"} <= {*head}
    ] == []


def test_controls_stay_off_the_paper(printed: list[str]):
    text = "\n".join(printed)

    assert "Find a card" not in text
    assert "How sure" not in text
    assert "Back to the report" not in text


def test_every_card_is_on_paper(printed: list[str], open_page: Open):
    pool = open_page("cards").ranking.verdict
    words = set("\n".join(printed).split())

    assert {card.card.split(" ")[0].split("-")[0] for card in pool.cards} <= words
    assert sum(text.count("20 ") for text in printed) > len(pool.cards)


def test_paper_is_light_whatever_the_screen_is(open_page: Open):
    page = open_page("cards", color_scheme="dark").page
    page.emulate_media(media="print", color_scheme="dark")

    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")

    assert ground == "rgb(255, 255, 255)"


def test_a_printed_page_says_where_its_line_was_moved_to(open_page: Open, tmp_path: Path):
    page = open_page("cards", every=9).page
    moved(page, -9)
    page.pdf(path=tmp_path / "moved.pdf", prefer_css_page_size=True)

    text = " ".join("\n".join(text_of(tmp_path / "moved.pdf")).split())

    line = ranked("cards", 9).verdict.line
    assert f"Moved from the report's line of {exact_percent(line)}" in text
    assert f"line of {exact_percent(line - 0.009)}" in text


@pytest.fixture(scope="module")
def silent(open_page: Open) -> Opened:
    return open_page("cards_by_archetype", every=3, java_script_enabled=False)


def test_without_its_script_the_page_shows_table_pictures_and_summary(silent: Opened):
    page, pool = silent.page, silent.ranking.verdict

    assert page.locator("#cards tbody tr").count() == len(pool.cards)
    assert page.locator("#cards tbody tr").first.is_visible()
    assert page.locator("svg.estimates .names text").count() == len(pool.cards)
    marks = page.locator("svg.estimates .rows .mark").all_text_contents()
    assert len("".join(marks)) == len(pool.cards)
    assert page.locator("#summary p").first.is_visible()
    assert page.locator(".tally rect").count() == 3


def test_without_its_script_the_page_offers_nothing_that_does_not_work(silent: Opened):
    controls = silent.page.locator("input, select, button").all()

    assert controls
    assert [control for control in controls if control.is_visible()] == []
