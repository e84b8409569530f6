"""A grid whose columns can be read as numbers."""

import numpy as np
import pytest

from tests.ingest.sheets import sheet
from winrate_tools.errors import SettingError


def test_a_column_holds_numbers_if_most_of_its_known_cells_are():
    seen = sheet("a;b;c;d", "1;x;;-", "2;3;5;n/a", "x;y;;")

    assert [seen.holds_numbers(n) for n in seen.numbers] == [True, False, True, False]


def test_the_file_settles_its_mark_unless_the_user_does():
    lines = ("a;b", "1.204;52,6", "90;41,5")

    assert (sheet(*lines).decimal, sheet(*lines).told) == (",", False)
    assert sheet(*lines).read(1).values.tolist() == [1204, 90]
    assert (sheet(*lines, decimal=".").decimal, sheet(*lines, decimal=".").told) == (".", True)
    assert sheet(*lines, decimal=".").read(1).values.tolist() == [1.204, 90]


def test_a_column_of_words_can_be_read_and_is_bad_throughout():
    column = sheet("a,b", "x,1", "y,2").read(1)

    assert np.isnan(column.values).all()
    assert list(column.bad) == [0, 1]


def test_a_column_is_read_once():
    seen = sheet("a,b", "x,1")

    assert seen.read(2) is seen.read(2)


def test_samples_are_the_first_known_values_in_short():
    seen = sheet("a,b", "1,", "2,p", "3,", f"4,{'q' * 999}", "5,r", "6,s")

    assert seen.samples(2) == ("p", "q" * 79 + "\u2026", "r")
    assert seen.samples(2, 1) == ("p",)


@pytest.mark.parametrize("mark", ["", ";", "point", ".,"])
def test_another_decimal_mark_is_refused(mark: str):
    with pytest.raises(SettingError, match="decimal must be"):
        sheet("a,b", "x,1", decimal=mark)
