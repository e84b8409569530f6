"""The options that commands share."""

from dataclasses import fields

import pytest

from winrate_tools.cli.options import Format, Judging, Output
from winrate_tools.errors import OutputError
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
        (Output(format=Format.CSV, output="cuts.json"), Format.CSV),
        (Output(format=Format.CSV, output="cuts.xlsx"), Format.CSV),
        (Output(json=True, output="cuts.md"), Format.JSON),
        (Output(output="cuts.csv"), Format.CSV),
        (Output(output="deep.json/cuts.JSON"), Format.JSON),
        (Output(output="cuts.txt"), Format.TABLE),
        (Output(output="cuts"), Format.MD),
        (Output(output="cuts.v2"), Format.MD),
        (Output(output="deep.csv/cuts"), Format.MD),
    ],
)
def test_a_format_that_is_asked_for_goes_before_the_ending_and_that_before_the_default(
    output, chosen
):
    assert output.chosen(Format.MD) is chosen


@pytest.mark.parametrize("ending", [".xlsx", ".html", ".pdf", ".png", ".svg", ".SVG", ".tsv"])
def test_an_ending_that_promises_what_is_not_written_is_refused(ending):
    wanted = r"^-o must end in \.csv, \.json, \.md or \.txt, got \%s; name the file so, or say"

    with pytest.raises(OutputError, match=wanted % ending.lower()):
        Output(output=f"cuts{ending}").chosen()
