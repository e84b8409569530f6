"""A report as plain data."""

import pytest

from winrate_tools.report import document
from winrate_tools.report.forms.screen import Screen


@pytest.mark.parametrize("part", [document.Document, *document.Block.__args__, Screen])
def test_no_part_can_be_changed_after_it_is_made(part: type):
    made = part._make(() for _ in part._fields)

    with pytest.raises(AttributeError):
        setattr(made, part._fields[0], "other")


def test_a_column_is_shown_as_text_and_always_unless_told():
    column = document.TableColumn("Card")

    assert (column.is_number, column.spare, column.is_toned) == (False, 0, False)


def test_a_picture_is_a_block_like_any_other():
    assert document.Picture in document.Block.__args__
