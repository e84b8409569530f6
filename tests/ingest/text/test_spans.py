"""Where a cell stands in its raw record."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.text.spans import cell_spans, physical_line


@pytest.mark.parametrize(
    ("record", "cells"),
    [
        ("a,b", ["a", "b"]),
        (' "a,b" , c ', ['"a,b"', "c"]),
        ('"a ""b"", c",d', ['"a ""b"", c"', "d"]),
        ('5" nail,"x"', ['5" nail', '"x"']),
        ('5"" nail,x', ['5"" nail', "x"]),
        (",,", ["", "", ""]),
        ('"a\nb",c', ['"a\nb"', "c"]),
    ],
)
def test_spans_cut_a_record_as_the_reader_does(record: str, cells: list[str]):
    assert [record[start:end] for start, end in cell_spans(record, ",")] == cells


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_a_span_moves_to_the_line_on_which_it_begins(end: str):
    record = f'"a{end}bb{end}c",dd'
    start = record.index("dd")

    assert physical_line(record, start, start + 2) == (2, 'c",dd', 3, 5)
    assert physical_line(record, 0, start - 1) == (0, '"a', 0, 2)


@given(
    st.lists(st.text('a",; \t|.\n', max_size=6), min_size=1, max_size=5),
    st.sampled_from(",;|\t"),
)
def test_spans_are_as_many_as_the_cells_and_stand_in_order(cells: list[str], mark: str):
    record = mark.join('"' + cell.replace('"', '""') + '"' for cell in cells)
    spans = cell_spans(record, mark)

    assert [record[a + 1 : b - 1].replace('""', '"') for a, b in spans] == cells


@pytest.mark.parametrize("mark", [".", "^", "|", "\\", "]"])
def test_a_mark_with_a_meaning_elsewhere_is_a_plain_mark(mark: str):
    assert cell_spans(f"ab{mark}c", mark) == [(0, 2), (3, 4)]


def test_a_span_over_a_line_end_stops_before_it():
    assert physical_line('"ab\ncd",e', 0, 7) == (0, '"ab', 0, 3)
