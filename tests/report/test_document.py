"""A report as plain data."""

from dataclasses import FrozenInstanceError, fields, is_dataclass

import pytest

from winrate_tools.report import document
from winrate_tools.report.forms.screen import Screen

PARTS = [part for part in vars(document).values() if is_dataclass(part)]


@pytest.mark.parametrize("part", [*PARTS, Screen])
def test_no_part_can_be_changed_after_it_is_made(part: type):
    made = part(**{field.name: () for field in fields(part)})

    with pytest.raises(FrozenInstanceError):
        setattr(made, fields(part)[0].name, "other")


def test_a_column_is_shown_as_text_and_always_unless_told():
    column = document.TableColumn("Card")

    assert (column.is_number, column.spare, column.is_toned) == (False, 0, False)


def test_a_picture_is_a_block_like_any_other():
    assert document.Picture in document.Block.__args__
