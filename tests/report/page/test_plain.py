"""Documents as pages that only show them."""

import re
from base64 import b64encode
from hashlib import sha256

from winrate_tools.report.cards import sections
from winrate_tools.report.document import (
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)
from winrate_tools.report.page.plain import plain_page

SHEET = Document(
    "Changes <b>",
    (
        Section("", (Paragraph("Two cards & one copy."),)),
        Section(
            "Out",
            (
                Table((TableColumn("Card"), TableColumn("Copies", True)), (("a|b", "3 to 0"),)),
                Entries((Entry("Ash Vine", "weak"),)),
            ),
        ),
    ),
)


def test_everything_is_said_and_stays_text():
    page = plain_page(SHEET)

    assert page.count("<h1>Changes &lt;b&gt;</h1>") == 1
    assert "<p>Two cards &amp; one copy.\n" in page
    assert page.count("<h2>") == 1
    assert "<th>a|b<td>3 to 0" in page
    assert "<li><b>Ash Vine</b>: weak" in page


def test_nothing_but_its_own_style_is_allowed():
    page = plain_page(SHEET)

    [style] = re.findall(r"<style>(.*?)</style>", page, flags=re.DOTALL)
    digest = b64encode(sha256(style.encode()).digest()).decode()
    assert f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:" in page
    assert "<script" not in page
    assert "style=" not in page
    assert re.findall(r"(?:src|href)=([^#]....)", page) == [chr(34) + "data"]


def test_pictures_of_a_report_are_there(pool, source):
    report = sections.cut_report(pool, source, origins={}, version="1")

    assert plain_page(report).count("<figure") >= 2


def test_the_same_document_gives_the_same_bytes():
    assert plain_page(SHEET) == plain_page(SHEET)
