"""Labels as codes."""

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs import label_codes as module
from winrate_tools.ingest.logs.label_codes import (
    BAD,
    BLANK,
    UNKNOWN,
    AnyLabels,
    CutBands,
    LabelCodes,
    plain_number,
)


def test_codes_stay_the_same_over_calls_and_spellings():
    labels = LabelCodes("card", BLANK)
    first, second = labels.codes(["Fox", "-"]), labels.codes([" FOX", "Moth", ""])

    assert (first.tolist(), second.tolist()) == ([0, 1], [0, 2, UNKNOWN])
    assert labels.names == ["Fox", "-", "Moth"]
    assert labels.spelling == {"Fox": "Fox", "-": "-", "FOX": "Fox", "Moth": "Moth"}


@pytest.mark.parametrize("label", ["", " ", "-", "?", "n/a"])
def test_a_label_may_be_unknown(label):
    assert LabelCodes("archetype").codes([label]).tolist() == [UNKNOWN]


@pytest.mark.parametrize("label", ["x" * 201, "a\u202eb", "a\x07b"])
def test_a_label_may_be_none(label):
    labels = LabelCodes("archetype")

    assert labels.codes([label]).tolist() == [BAD]
    assert labels.trouble(label)
    assert labels.trouble("Kites") is None
    assert labels.names == []


def test_more_labels_than_any_pool_has_are_refused(monkeypatch):
    monkeypatch.setattr(module, "MOST_NAMES", 3)

    with pytest.raises(TableError, match="more than 3 different labels of card, the last 'd'"):
        LabelCodes("card").codes(list("abcd"))


def test_numbers_are_cut_at_and_above_the_cuts():
    bands = CutBands([0.5, 0.55])

    assert bands.codes(["49.9%", "0.5", "54.99 %", "0.55", "?", "x", "1,5.2"]).tolist() == [
        0, 1, 1, 2, UNKNOWN, BAD, BAD,
    ]  # fmt: skip
    assert bands.names == ["below 0.5", "0.5 to 0.55", "0.55 or more"]
    assert "got 'x'" in bands.trouble("x")
    assert bands.trouble("0.5") is None
    assert CutBands([3]).names == ["below 3", "3 or more"]


def test_a_number_has_a_decimal_point():
    assert plain_number("1,234.5") == 1234.5
    assert plain_number("1.234,5") is None


def test_what_names_something_is_kept_as_it_was_written():
    labels = LabelCodes("card")
    labels.codes(["Ash\u00a0Vine", "", "Ash Vine", "a\x07b"])

    assert labels.written == ["Ash\u00a0Vine", "Ash Vine"]
    assert labels.names == ["Ash Vine"]


def test_any_labels_are_broken_by_nothing():
    codes = AnyLabels("archetype").codes(["Kites", "K\u202eites", "a" * 300, "-"])

    assert codes.tolist() == [0, 1, 2, UNKNOWN]
