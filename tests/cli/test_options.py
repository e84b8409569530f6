"""The options that commands share."""

from dataclasses import fields

import pytest

from winrate_tools.cli.commands.rank import RankOutput
from winrate_tools.cli.commands.report import ReportOutput
from winrate_tools.cli.options import (
    ENDINGS,
    NOT_WRITTEN,
    SHARED,
    Format,
    Judging,
    Output,
)
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


@pytest.mark.parametrize("ending", [".xlsx", ".pdf", ".png", ".svg", ".SVG", ".tsv"])
def test_an_ending_that_promises_what_is_not_written_is_refused(ending):
    known = r"^-o must end in \.csv, \.json, \.md, \.txt or \.html"
    wanted = known + r", got \%s; name the file so, or say"

    with pytest.raises(OutputError, match=wanted % ending.lower()):
        Output(output=f"cuts{ending}").chosen()


def test_an_ending_that_another_option_writes_is_sent_there():
    with pytest.raises(OutputError, match=r"got \.xlsx; --xlsx deep/cuts\.XLSX writes that$"):
        RankOutput(output="deep/cuts.XLSX").chosen()
    with pytest.raises(
        OutputError, match=r"\.md, \.txt or \.html, got \.png; --plot cuts\.png"
    ):
        ReportOutput(output="cuts.png").chosen()


@pytest.mark.parametrize("name", ["cuts.html", "cuts.HTM"])
def test_every_command_can_write_a_page(name):
    assert ReportOutput(output=name).chosen(Format.MD) is Format.HTML
    assert RankOutput(output=name).chosen() is Format.HTML


def test_what_is_not_written_is_promised_by_no_command():
    assert not NOT_WRITTEN & set(ENDINGS)


def test_every_command_writes_the_shared_formats_and_only_a_report_more():
    assert set(ENDINGS.values()) == set(SHARED)
    assert set(Format) - set(SHARED) == {Format.BRIEF}


@pytest.mark.parametrize(
    ("command", "option", "what"),
    [
        ("plan", "--pool-map", "the pool"),
        ("plan", "--candidates-map", "the candidates"),
        ("update", "--matches-map", "that file"),
        ("archetypes", "--archetypes-map", "that file"),
    ],
)
def test_every_further_file_has_an_option_that_names_its_columns(command, option, what, run):
    said = " ".join(run(command, "--help").stdout.split())

    assert f"{option} ROLE=HEADER Which column of {what} holds what; repeatable." in said
