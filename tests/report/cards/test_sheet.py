"""A judged pool as a workbook."""

import re
import sys
import zipfile
from dataclasses import replace
from io import BytesIO

import pytest
from python_calamine import CalamineWorkbook

from tests.decide.earlier_pools import earlier_of
from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.cards.since import since
from winrate_tools.errors import MissingExtraError, OutputError
from winrate_tools.report.cards import records, sheet
from winrate_tools.settings import Settings

PRINTED = ("estimate", "range", "chance_below", "chance_worst", "rank", "games_needed")


def book(pool, source, cards=None, **options) -> bytes:
    return sheet.workbook(
        pool,
        pool.cards if cards is None else cards,
        source,
        Settings(margin=0.02),
        origins={"margin": "command line: --margin"},
        version="0.1.0",
        **options,
    )


def rows(data: bytes, name: str) -> list[list[object]]:
    return CalamineWorkbook.from_filelike(BytesIO(data)).get_sheet_by_name(name).to_python()


def texts(data: bytes, name: str) -> list[str]:
    return [str(cell) for row in rows(data, name) for cell in row]


def xml(data: bytes, name: str) -> str:
    return zipfile.ZipFile(BytesIO(data)).read(f"xl/{name}").decode()


def test_headings_are_those_of_the_glossary_and_of_reports(pool, source):
    first = rows(book(pool, source), "Cards")[0]

    whole = [column.heading for column in RANKING_COLUMNS.values()]
    assert first == [
        *whole,
        "Estimate, as printed",
        "8 in 10 range",
        "Below 49.0%",
        "In weakest 3",
        "Rank (9 in 10)",
        "Games needed, as printed",
    ]


def test_every_number_reads_back_whole_in_the_order_given(pool, source):
    found = rows(book(pool, source), "Cards")[1:]

    places = {name: place for place, name in enumerate(RANKING_COLUMNS)}
    numbers = ("estimate", "low", "high", "chance_below", "chance_worst", "group", "rank_low")
    assert [row[0] for row in found] == [card.card for card in pool.cards]
    for name in numbers:
        wanted = [getattr(card, name) for card in pool.cards]
        assert [row[places[name]] for row in found] == pytest.approx(wanted, rel=1e-15)


def test_counts_are_numbers_and_unknown_ones_are_blank(make_card, make_pool, source):
    pool = make_pool(
        make_card("Ash Vine", 0.47, games=1840),
        make_card("Tin Moth", 0.49, games=None, games_needed=None),
    )
    known, unknown = rows(book(pool, source), "Cards")[1:]

    places = [list(RANKING_COLUMNS).index(name) for name in ("games", "wins", "win_rate")]
    assert known[places[0]] == 1840.0
    assert [unknown[place] for place in places] == ["", "", ""]


def test_calls_and_printed_words_are_those_of_every_report(pool, source):
    found = rows(book(pool, source), "Cards")[1:]

    first = len(RANKING_COLUMNS)
    verdict = list(RANKING_COLUMNS).index("verdict")
    assert [row[verdict] for row in found] == [card.verdict for card in pool.cards]
    assert [row[first:] for row in found] == [
        [records.shown(card, pool)[name] for name in PRINTED] for card in pool.cards
    ]


@pytest.mark.parametrize(
    "name",
    [
        *("=1+1", "+x", "-x", "@x", "007", "1E5", "None", "NaN", "TRUE", "{=1}"),
        *("https://example.org", "a|b", "<b>", "two\nlines", "_x0041_", "灯", " a", 'a "b", c'),
    ],
)
def test_a_name_keeps_its_name_and_is_no_formula(name, make_card, make_pool, source):
    data = book(make_pool(make_card(name, 0.47, role=name, faction=name)), source)

    [row] = rows(data, "Cards")[1:]
    assert (row[0], row[1], row[3]) == (name, name, name)
    assert "<f>" not in xml(data, "worksheets/sheet1.xml")
    assert "hyperlink" not in xml(data, "worksheets/sheet1.xml")


def test_a_name_too_long_for_a_cell_is_shortened(make_card, make_pool, source):
    [row] = rows(book(make_pool(make_card("x" * 40_000, 0.47)), source), "Cards")[1:]

    assert row[0] == "x" * 32_767


def test_the_header_stays_and_rows_can_be_filtered(pool, source):
    cards = xml(book(pool, source), "worksheets/sheet1.xml")

    assert '<pane xSplit="1" ySplit="1" topLeftCell="B2"' in cards
    assert '<autoFilter ref="A1:X9"/>' in cards


def shown_as(data: bytes, cell: str) -> str:
    """The number format of a cell of the first sheet."""
    styles = xml(data, "styles.xml")
    codes = dict(re.findall(r'<numFmt numFmtId="(\d+)" formatCode="([^"]+)"', styles))
    kinds = re.findall(r'<xf numFmtId="(\d+)"', styles.split("<cellXfs")[1])
    [place] = re.findall(rf'<c r="{cell}" s="(\d+)"', xml(data, "worksheets/sheet1.xml"))
    return {"10": "0.00%", **codes}[kinds[int(place)]]


@pytest.mark.parametrize(
    ("estimate", "printed", "code"),
    [
        (0.4712, "47.1%", "0.0%"),
        (0.4897, "48.97%", "0.00%"),
        (0.48996, "48.996%", "0.000%"),
    ],
)
def test_a_rate_is_shown_with_the_decimals_that_a_report_prints(
    estimate, printed, code, make_card, make_pool, source
):
    pool = make_pool(make_card("Elm", estimate, 1e-6))

    assert records.shown(pool.cards[0], pool)["estimate"] == printed
    assert [shown_as(book(pool, source), cell) for cell in ("G2", "H2", "I2", "J2")] == [
        "0.0%",
        *[code] * 3,
    ]


def test_the_same_pool_gives_the_same_bytes(pool, source):
    data = book(pool, source)

    assert data == book(pool, source)
    assert "2000-01-01T00:00:00Z" in zipfile.ZipFile(BytesIO(data)).read(
        "docProps/core.xml"
    ).decode("utf-8")


def test_only_the_cards_asked_for_are_written(pool, source):
    data = book(pool, source, cards=pool.cards[:2])

    assert [row[0] for row in rows(data, "Cards")[1:]] == [card.card for card in pool.cards[:2]]


def test_no_cards_are_an_empty_table(pool, source):
    assert len(rows(book(pool, source, cards=()), "Cards")) == 1


def test_a_second_sheet_states_settings_source_and_version(pool, source):
    said = rows(book(pool, source), "About")

    assert ["margin", "0.02", "command line: --margin"] in [row[:3] for row in said]
    assert ["seed", "1", "default"] in [row[:3] for row in said]
    assert ["baseline", "sample", "default"] in [row[:3] for row in said]
    assert ["allowance", "0.4", "default"] in [row[:3] for row in said]
    together = " ".join(texts(book(pool, source), "About"))
    for part in (source.sha256, "winrate_tools 0.1.0, seed 1.", "The row Total was left out."):
        assert part in together
    assert "8 cards: 2 to cut" in together
    assert [
        "trap",
        "likely weak, yet taken earlier or played more than most, so it costs games",
    ] in [row[:2] for row in said]


def test_what_changed_has_a_sheet_of_its_own(pool, source):
    found = since(earlier_of(pool, line=0.47), replace(pool), Settings())
    with_changes = book(pool, source, since=found)

    names = CalamineWorkbook.from_filelike(BytesIO(with_changes)).sheet_names
    assert names == ["Cards", "About", "Since last time"]
    assert "Every verdict is what it was: 8 cards." in texts(with_changes, "Since last time")


def test_changed_verdicts_are_rows_of_that_sheet(pool, source):
    earlier = earlier_of(pool)
    cards = (replace(earlier.cards[0], verdict="keep", chance_below=0.1), *earlier.cards[1:])
    found = since(replace(earlier, cards=cards), pool, Settings())

    said = rows(book(pool, source, since=found), "Since last time")
    assert ["Ember Oracle", "keep", "▼ cut"] in [row[:3] for row in said]


def test_a_missing_library_is_named_with_its_extra(pool, source, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)

    with pytest.raises(MissingExtraError, match=r'pip install "winrate_tools\[xlsx\]"$'):
        book(pool, source)


def test_more_cards_than_rows_are_refused(pool, source, monkeypatch):
    monkeypatch.setattr(sheet, "MOST_ROWS", 7)

    with pytest.raises(
        OutputError, match=r"^a sheet holds 7 cards, got 8; write them as \.csv$"
    ):
        book(pool, source)
    assert book(pool, source, cards=pool.cards[:7])


def test_pictures_have_no_place_in_a_sheet():
    assert sheet.cells_of(object()) == []
