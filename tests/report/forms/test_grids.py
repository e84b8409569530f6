"""Tables as lines of text."""

from winrate_tools.report.document import Table, TableColumn
from winrate_tools.report.forms.grids import table_lines
from winrate_tools.report.forms.screen import Screen

TABLE = Table(
    (
        TableColumn("Card"),
        TableColumn("Games", is_number=True, spare=3),
        TableColumn("Range", is_number=True),
        TableColumn("Verdict", is_toned=True),
    ),
    (("Ash Vine", "1,240", "46.6 to 49.6%", "▼ cut"), ("灯", "7", "9.1 to 49.6%", "▲ keep")),
    ("cut", "keep"),
)


def test_numbers_stand_right_and_names_left():
    assert table_lines(TABLE, Screen()) == [
        "Card      Games          Range  Verdict",
        "--------  -----  -------------  -------",
        "Ash Vine  1,240  46.6 to 49.6%  ▼ cut",
        "灯            7   9.1 to 49.6%  ▲ keep",
    ]


def test_a_narrow_screen_puts_the_numbers_under_the_name():
    assert table_lines(TABLE, Screen(24)) == [
        "Card             Verdict",
        "  Range",
        "------------------------",
        "Ash Vine         ▼ cut",
        "  46.6 to 49.6%",
        "灯               ▲ keep",
        "  9.1 to 49.6%",
    ]


def test_a_very_narrow_screen_puts_the_verdict_below_too():
    assert table_lines(TABLE, Screen(16))[3:6] == ["Ash Vine", "  46.6 to 49.6%", "  ▼ cut"]
