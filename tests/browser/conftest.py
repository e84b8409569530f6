"""A headless browser, and pages opened in it."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, sync_playwright

from tests.browser.opening import Open, Opened, html, ranked

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
NAMES = ("chromium", "chromium-browser", "google-chrome")
NO_BROWSER = (
    "tests of the page need a browser: apt-get install chromium poppler-utils "
    f"(looked for on the path: {', '.join(NAMES)})"
)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        pytest.fail(NO_BROWSER)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, headless=True, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pages")


@pytest.fixture(scope="module")
def open_page(browser: Browser, folder: Path) -> Iterator[Open]:
    """Open the page of a sample table, or of every so manieth of its cards."""
    contexts: list[BrowserContext] = []

    def opened(table: str, every: int = 1, **look) -> Opened:
        path = folder / f"{table}-{every}.html"
        path.write_text(html(table, every), encoding="utf-8")
        context = browser.new_context(**{"viewport": {"width": 1000, "height": 800}, **look})
        contexts.append(context)
        found = Opened(context.new_page(), ranked(table, every))
        found.page.set_default_timeout(10_000)
        found.page.on("console", lambda message: found.said.append(message.text))
        found.page.on("pageerror", lambda error: found.said.append(str(error)))
        found.page.on("request", lambda request: found.asked.append(request.url))
        found.page.goto(path.as_uri())
        return found

    yield opened
    for context in contexts:
        context.close()
