"""Pages of the sample tables, as a browser shows them."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from io import BytesIO
from pathlib import Path

from playwright.sync_api import Page

from winrate_tools import rank, read_cards
from winrate_tools.ranking import Ranking
from winrate_tools.report.page.page import render

SAMPLES = Path(__file__).parent.parent.parent / "sample_data"


@dataclass
class Opened:
    """A page, what it was made from, and what the browser said of it."""

    page: Page
    ranking: Ranking
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


Open = Callable[..., Opened]


@cache
def ranked(table: str, every: int = 1) -> Ranking:
    """Rank every so manieth card of a sample table."""
    head, *rows = (SAMPLES / f"{table}.csv").read_bytes().splitlines(keepends=True)
    names = list(dict.fromkeys(row.split(b",", 1)[0] for row in rows))[::every]
    kept = [row for row in rows if row.split(b",", 1)[0] in names]
    return rank(read_cards(BytesIO(b"".join([head, *kept]))))


@cache
def html(table: str, every: int = 1) -> str:
    ranking = ranked(table, every)
    return render(ranking.verdict, ranking.source, origins={}, version="1.2.3")


def moved(page: Page, steps: int) -> None:
    """Put the slider some steps from the report's line and let go of it."""
    page.evaluate(
        """steps => {
            const slider = document.querySelector("#line");
            slider.value = steps;
            slider.dispatchEvent(new Event("input", { bubbles: true }));
            slider.dispatchEvent(new Event("change", { bubbles: true }));
        }""",
        steps,
    )
