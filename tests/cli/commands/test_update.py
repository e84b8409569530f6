"""The command ``update``, run as a user runs it."""

import csv
import datetime as dt
import json
from io import StringIO
from pathlib import Path

import pytest

PEOPLE = ("Ada", "Bo", "Cy")
HEADER = "date,player,opponent,games_won,games_lost,archetype,opponent_archetype,cards"
NAMES = ("Kites", "Moths", "Bells")


@pytest.fixture
def decks(folder: Path) -> str:
    rows = [
        f"{name},6000,{round(6000 * r)}"
        for name, r in zip(NAMES, (0.45, 0.5, 0.55), strict=True)
    ]
    (folder / "decks.csv").write_text("\n".join(["archetype,games,wins", *rows, ""]))
    return "decks.csv"


@pytest.fixture
def matches(folder: Path) -> str:
    """Eight nights, a match of each pair, Kites a little better than strangers say."""
    lines = [HEADER]
    for night in range(8):
        day = dt.date(2026, 1, 9) + dt.timedelta(weeks=night)
        for n, (one, other) in enumerate([(0, 1), (1, 2), (2, 0)]):
            ours, theirs = NAMES[(night + n) % 3], NAMES[(night + n + 1) % 3]
            won = 2 if (night + n) % 2 else 1
            lines.append(
                f"{day},{PEOPLE[one]},{PEOPLE[other]},{won},{3 - won},{ours},{theirs},"
                "Ash Vine; Lamp 1"
            )
    (folder / "home.csv").write_text("\n".join([*lines, ""]))
    return "home.csv"


@pytest.fixture
def update(run, table, decks, matches):
    def run_update(*arguments, matches=matches, **options):
        return run(
            "update", table, "--archetypes", decks, "--matches", matches, *arguments, **options
        )

    return run_update


def test_it_tells_of_players_archetypes_cards_and_the_change(update):
    result = update("--changed", "kites")

    assert result.exit_code == 0, result.stderr
    for title in ("Has the change worked?", "Players", "Archetypes", "Cards"):
        assert f"\n{title}\n" in result.stdout
    assert "24 matches, 72 games on 8 nights" in result.stdout
    assert "Kites (changed)" in result.stdout
    assert "next:" not in result.stderr


def test_without_a_change_the_next_step_is_to_name_one(update):
    result = update("--margin", "3")

    assert "Has the change worked?" not in result.stdout
    assert result.stderr.endswith(
        "winrate-tools update cards.csv --matches home.csv --margin 3 --archetypes decks.csv "
        "--changed NAME\n"
    )


def test_every_format_says_the_same(update):
    told = json.loads(update("--json").stdout)
    rows = list(csv.DictReader(StringIO(update("--format", "csv").stdout)))
    page = update("--format", "md").stdout

    kites = next(one for one in told["archetypes"] if one["archetype"] == "Kites")
    (row,) = [row for row in rows if row["name"] == "Kites"]
    assert float(row["estimate"]) == kites["estimate"]
    assert f"{100 * kites['estimate']:.1f}%" in page
    assert [source["name"] for source in told["sources"]] == [
        "cards.csv",
        "decks.csv",
        "home.csv",
    ]


def test_the_same_input_gives_the_same_bytes(update):
    assert (
        update("--changed", "Kites").stdout_bytes == update("--changed", "Kites").stdout_bytes
    )


def test_a_program_gets_the_cautions_as_notes(update):
    said = update("--format", "csv").stderr

    assert "note: Nobody noted who had the first seat" in said
    assert "note: Nobody noted" not in update().stderr


def test_matches_may_come_from_standard_input(update, matches):
    text = Path(matches).read_text()

    result = update(matches="-", input=text)

    assert "What <stdin> says" in result.stdout
    assert "next:" not in result.stderr


def test_the_result_can_be_written_to_a_file(update):
    result = update("-o", "home.md")

    assert result.stdout == ""
    assert Path("home.md").read_text(encoding="utf-8").startswith("# What home")


def test_a_dated_change_is_noted_in_the_journal_and_filled_in(update):
    first = update("--changed", "Kites", "--since", "2026-01-30", "--journal", "journal.csv")

    assert "Forecast and seen" in first.stdout
    assert "wrote journal.csv" in first.stderr
    noted = Path("journal.csv").read_text()
    (row,) = csv.DictReader(StringIO(noted))
    assert (row["date"], row["change"], row["archetype"]) == ("2026-01-30", "rebuilt", "Kites")
    assert (row["seen_on"], row["games"]) == ("2026-02-27", "30")
    again = update("--journal", "journal.csv")
    assert Path("journal.csv").read_text() == noted
    assert again.stdout == first.stdout
    repeated = update("--changed", "kites", "--since", "2026-01-30", "--journal", "journal.csv")
    assert repeated.exit_code == 0
    assert Path("journal.csv").read_text() == noted


def test_a_forecast_is_held_against_strangers_word_too(update):
    head, start = "date,change,archetype,forecast,low,high", "2026-01-09,3 in,Kites"
    Path("journal.csv").write_text(f"{head}\n{start},48%,46%,50%\n")

    told = json.loads(update("--journal", "journal.csv", "--json").stdout)

    assert told["journal"][0]["outcome"] == "cannot tell apart"


def test_a_forecast_is_held_to_account(update):
    Path("journal.csv").write_text(
        "date,change,archetype,forecast,low,high\n2026-01-09,3 in,Moths,30%,28%,32%\n"
    )

    told = json.loads(update("--journal", "journal.csv", "--json").stdout)

    assert told["journal"][0]["outcome"] == "better"
    assert told["changes"][0]["forecast"] == 0.3


@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (["--changed", "Kitess"], 2, "'Kitess' that was changed; did you mean 'Kites'?"),
        (["--since", "2026-01-30"], 2, "--since goes with --changed"),
        (["--changed", "Kites", "--since", "soon"], 2, "must be a day such as 2026-01-31"),
        (["--journal", "home.csv"], 2, "--journal names the table that is read"),
        (["--journal", "out.md", "-o", "out.md"], 2, "-o and --journal name one file, out.md"),
        (["--journal", "decks.csv"], 2, "--journal names the table that is read"),
        (["--journal", "odl.csv"], 2, "no file 'odl.csv'; did you mean 'old.csv'?"),
        (["--journal", "old.csv"], 1, "old.csv is no journal"),
        (["-o", "home.csv", "--force"], 2, "-o names the table that is read"),
        (["--matches-map", "player=Nobody"], 2, "Nobody"),
    ],
)
def test_trouble_is_told_in_a_line_and_nothing_is_written(arguments, code, message, update):
    Path("old.csv").write_text("a,b\n1,2\n")
    before = {path.name: path.read_bytes() for path in Path().iterdir()}

    result = update(*arguments)

    assert result.exit_code == code, result.stderr
    assert message in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr
    assert result.stdout == ""
    assert {path.name: path.read_bytes() for path in Path().iterdir()} == before


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("2026-03-06,Ada,Ada,2,1,Kites,Moths,", "another player than 'Ada' was wanted"),
        ("2026-03-06,Ada,Bo,2,1,Kitess,Moths,", "'Kitess', which strangers never played; did"),
        ("2026-03-06,Ada,Bo,-2,1,Kites,Moths,", "-2"),
    ],
)
def test_matches_that_make_no_sense_are_refused(row, message, update, matches):
    with Path(matches).open("a") as file:
        file.write(row + "\n")

    result = update()

    assert result.exit_code == 1
    assert message in result.stderr


def test_one_standard_input_cannot_be_two_tables(run):
    result = run("update", "-", "--matches", "-")

    assert result.exit_code == 2
    assert "standard input holds one table; name files for the others" in result.stderr


def test_a_change_before_the_journals_last_is_refused(update):
    update("--changed", "Kites", "--since", "2026-01-30", "--journal", "journal.csv")

    result = update("--changed", "Moths", "--since", "2026-01-16", "--journal", "journal.csv")

    assert result.exit_code == 1
    assert "date must be 2026-01-30 or later" in result.stderr


def test_columns_of_the_matches_can_be_named(update, matches):
    lines = Path(matches).read_text().splitlines()
    Path(matches).write_text("\n".join(["a,b,c,d,e,f,g,h", *lines[1:], ""]))
    asked = update()

    assert asked.exit_code == 2
    assert "--matches-map" in asked.stderr
    assert "--map " not in asked.stderr
    roles = dict(zip(HEADER.split(","), "abcdefgh", strict=True))
    options = [word for role, h in roles.items() for word in ("--matches-map", f"{role}={h}")]
    assert update(*options).exit_code == 0


def test_what_others_note_meanwhile_is_not_lost(update, monkeypatch):
    from winrate_tools.ingest.tables.journal import append_journal, read_journal
    from winrate_tools.jobs import update as job
    from winrate_tools.journal import JournalRow

    told = ("--changed", "Kites", "--since", "2026-01-30", "--journal", "journal.csv")
    update(*told)
    work, other = job.home_update, JournalRow(dt.date(2026, 2, 20), "1 in", "Moths")

    def slow(*arguments):
        append_journal(Path("journal.csv"), [other])
        return work(*arguments)

    monkeypatch.setattr(job, "home_update", slow)
    result = update("--journal", "journal.csv")

    assert result.exit_code == 2
    assert "written to by others in the meantime; run it again" in result.stderr
    assert read_journal(Path("journal.csv"))[-1] == other


@pytest.mark.parametrize("archetype", ["", "Kites"])
def test_matches_without_two_archetypes_tell_of_players_and_offer_no_change(
    run, table, folder: Path, archetype: str
):
    rows = [
        f"2026-01-09,{a},{b},2,1,{archetype},{archetype},"
        for a, b in zip("AB", "BC", strict=True)
    ]
    (folder / "few.csv").write_text("\n".join([HEADER, *rows, ""]))

    result = run("update", table, "--matches", "few.csv")

    assert result.exit_code == 0, result.stderr
    assert "name no archetypes, or only one" in result.stdout
    assert "--changed" not in result.stderr


def test_leaving_bad_rows_out_leaves_no_match_out(update, matches, folder):
    with (folder / matches).open("a", encoding="utf-8") as lines:
        lines.write("2026-04-01,Ada,Bo,2,x,,,\n")
    result = update("--skip-bad")

    assert result.exit_code == 1
    assert "got 'x' for 'Ada'" in result.stderr
    assert "--skip-bad" not in result.stderr
