"""What the command line itself refuses."""

import pytest
import typer

from winrate_tools.cli.misuse import count, misuse, one_of


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["rank", "a.csv", "--format", "xml"],
            "--format must be table, csv, json, md or html, got 'xml'",
        ),
        (["rank", "a.csv", "--top", "x"], "--top must be a whole number from 1, got 'x'"),
        (["rank", "a.csv", "--top"], "--top must be followed by a value"),
        (["rank", "a.csv", "--json=3"], "--json takes no value"),
        (["rank", "a.csv", "b.csv"], "nothing asks for b.csv"),
        (["rank", "a.csv", "--zebra"], "there is no option --zebra"),
        (["rank"], "TABLE is missing; winrate-tools rank -h shows how"),
        (["zebra"], "there is no command 'zebra'"),
        (["--zebra"], "there is no option --zebra"),
    ],
    ids=" ".join,
)
def test_misuse_is_told_in_one_line_of_our_own(arguments, message, run):
    result = run(*arguments)

    assert (result.exit_code, result.stdout, result.stderr) == (2, "", f"error: {message}\n")


def test_a_group_alone_still_shows_its_help(run):
    result = run("config")

    assert "Commands:" in result.output
    assert "error:" not in result.output


def test_what_is_not_known_is_told_as_it_comes():
    assert misuse(typer.BadParameter("Some New\n  Refusal.")) == "some New Refusal"


def test_a_near_word_is_offered():
    with pytest.raises(
        typer.BadParameter, match=r"^must be cut or keep, got 'kep'; did you me"
    ):
        one_of(["cut", "keep"])("kep")
    assert one_of(["cut", "keep"])("keep") == "keep"


@pytest.mark.parametrize("text", ["0", "-1", "1.5", "", "x"])
def test_only_whole_numbers_from_1_are_counts(text):
    with pytest.raises(
        typer.BadParameter, match=rf"^must be a whole number from 1, got '{text}'$"
    ):
        count(text)
    assert count("12") == 12
