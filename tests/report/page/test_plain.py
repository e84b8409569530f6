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


def test_charts_wider_than_a_narrow_screen_say_that_they_scroll():
    style = re.search("<style>(.*?)</style>", plain_page(SHEET))[1]

    hint = '(max-width:679px){figcaption::after{content:" Scroll the chart sideways'
    assert hint in style


def test_the_same_document_gives_the_same_bytes():
    assert plain_page(SHEET) == plain_page(SHEET)


def narrow(page: str) -> str:
    """Return the last rules for narrow screens, which name cells by their columns."""
    return re.findall(r"@media screen and \(max-width:760px\){(section.*?})}", page)[0]


def test_on_a_narrow_screen_every_cell_stands_under_its_name():
    page = plain_page(SHEET)

    assert narrow(page) == (
        'section:nth-of-type(2)>div:nth-of-type(1) td:nth-child(2)::before{content:"Copies: "}'
    )
    assert "display:flex" in page


def test_on_a_narrow_screen_no_column_is_left_out():
    table = Table((TableColumn("Card"), TableColumn("Why", spare=5)), (("Ash", "weak"),))

    page = plain_page(Document("Changes", (Section("Out", (table,)),)))

    assert "{display:none}}" not in page
    assert 'content:"Why: "' in page


def test_a_heading_that_would_leave_the_style_stays_a_heading():
    table = Table((TableColumn("Card"), TableColumn('a"}</style>')), (("Ash", "1"),))

    page = plain_page(Document("Changes", (Section("Out", (table,)),)))

    assert page.count("</style>") == 1
    assert narrow(page).endswith('{content:"a\\22 \\7d \\3c \\2f style\\3e : "}')


def test_a_document_without_tables_names_no_cells():
    page = plain_page(Document("Nothing", (Section("", (Paragraph("Nothing changes."),)),)))

    assert "nth-of-type" not in page
