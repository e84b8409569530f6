"""The options that commands share."""

from dataclasses import fields

import pytest

from winrate_tools.cli.options import Format, Judging, Output
from winrate_tools.settings import Settings


def test_every_setting_has_an_option_and_none_has_a_default_of_its_own():
    assert [field.name for field in fields(Judging)] == [
        field.name for field in fields(Settings)
    ]
    assert {field.default for field in fields(Judging)} == {None}


@pytest.mark.parametrize(
    ("output", "chosen"),
    [
        (Output(), Format.MD),
        (Output(format=Format.CSV), Format.CSV),
        (Output(json=True), Format.JSON),
        (Output(format=Format.CSV, json=True), Format.JSON),
    ],
)
def test_a_format_that_is_asked_for_goes_before_the_commands_own(output, chosen):
    assert output.chosen(Format.MD) is chosen
