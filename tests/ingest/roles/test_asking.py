"""The question that is put where nobody can tell which column holds what."""

import shlex

import pytest

from tests.ingest.sheets import sheet
from winrate_tools.errors import MappingError
from winrate_tools.ingest.roles.asking import guess, paste_line, unclear
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards
from winrate_tools.ingest.tables.pools import inspect_pool

BRIEF = "Card,Games,Wins\nAsh Vine,12,7\nTin Moth,9,4\n"
TABLE = ("x,y,z,r", "Ash,12,7,0.5", "Tin,9,4,1.5", "Elk,8,8,2.5")


def pasted(message: str) -> dict[str, str]:
    """Read the line to paste as a shell and the command line would."""
    words = shlex.split(message.splitlines()[-1])
    assert set(words[::2]) == {"--map"}
    return dict(word.split("=", 1) for word in words[1::2])


def test_a_misspelt_column_is_answered_with_a_line_that_works():
    with pytest.raises(MappingError) as caught:
        inspect_cards(BRIEF.encode(), columns={"games": "Gmaes"}).sound_table()

    assert read_cards(BRIEF.encode(), columns=pasted(str(caught.value))).games.tolist() == [
        12,
        9,
    ]


UNCLEAR = {
    "no words and no rate": 'Häufig,"b ""$""",c\nAsh,12,7\nTin,9,4\n',
    "a number for a header": "7,x,y\nAsh,12,7\nTin,9,4\n",
    "two columns of games": "Card,Games,Games,Wins\nAsh,12,13,7\nTin,9,9,4\n",
    "two columns of names": "x,y,Games,Wins\nAsh,a,12,7\nTin,b,9,4\n",
    "two columns of archetypes": "Card,Archetype,Archetypes,Games,Wins\nA,x,y,9,7\nB,z,w,9,4\n",
    "no name": "Games,Wins\n12,7\n9,4\n7,4\n8,1\n",
    "a rate and two counts": "Card,Win rate,a,b\nAsh,50%,12,14\nTin,50.0%,10,8\n",
    "two triples": "a,b,c,d,e,f,g\n"
    + "".join(
        f"Card {n},{90 + n},{40 + n},{(40 + n) / (90 + n):.4f},"
        f"{70 + n},{50 + n},{(50 + n) / (70 + n):.4f}\n"
        for n in range(9)
    ),
}


@pytest.mark.parametrize("kind", [kind for kind in UNCLEAR if kind != "no name"])
def test_an_unclear_file_is_answered_with_a_line_that_works(kind: str):
    data = UNCLEAR[kind].encode()
    with pytest.raises(MappingError) as caught:
        inspect_cards(data).sound_table()
    table = read_cards(data, columns=pasted(str(caught.value)))

    assert len(table) >= 2
    assert caught.value.candidates


def test_a_header_that_a_shell_would_mangle_is_named_by_its_number():
    with pytest.raises(MappingError) as caught:
        inspect_cards(UNCLEAR["no words and no rate"].encode()).sound_table()

    assert str(caught.value).endswith('--map card="Häufig" --map wins="c" --map games=2')


def test_nothing_to_propose_still_lists_the_columns():
    with pytest.raises(MappingError, match=r"(?s)holds card.*1  Games: 12, 9, 7") as caught:
        inspect_cards(UNCLEAR["no name"].encode()).sound_table()

    assert str(caught.value).endswith("--map card=HEADER --map games=HEADER --map wins=HEADER")


def test_a_guess_gives_the_smaller_column_to_wins_and_leaves_fractions_alone():
    assert guess(sheet(*TABLE), {}) == [{"card": 1, "wins": 3, "games": 2}]


def test_the_text_that_differs_most_is_the_likeliest_card():
    seen = sheet("x,y,z,r", "a,Ash,12,7", "b,Tin,9,4", "a,Elk,8,2")

    assert [answer["card"] for answer in guess(seen, {})] == [2, 1]


@pytest.mark.parametrize(
    ("found", "answers"),
    [
        ({"card": 1, "games": 2}, [{"card": 1, "wins": 3, "games": 2}]),
        ({"card": 1, "wins": 3}, [{"card": 1, "wins": 3, "games": 2}]),
        ({"card": 1, "games": 3}, []),
        ({"win_rate": 4, "games": 3}, [{"card": 1, "games": 3, "win_rate": 4}]),
        (
            {"win_rate": 4},
            [{"card": 1, "games": 2, "win_rate": 4}, {"card": 1, "games": 3, "win_rate": 4}],
        ),
    ],
)
def test_a_guess_keeps_to_what_is_settled(found: dict[str, int], answers: list[dict]):
    assert guess(sheet(*TABLE), found) == answers


def test_a_guess_at_a_very_wide_table_ends_and_proposes_nine():
    row = ",".join(str(1 + n % 7) for n in range(3000))
    wide = sheet(",".join(f"h{n}" for n in range(3001)), f"Ash,{row}", f"Tin,{row}")

    assert len(guess(wide, {})) == 9


def test_a_question_lists_columns_and_answers_and_ends_in_the_likeliest():
    answers = [{"wins": 3, "games": 2}, {"wins": 2, "games": 3}]
    error = unclear(sheet(*TABLE), "who knows", answers, {"card": 1})

    assert str(error).splitlines() == [
        "cards.csv: who knows",
        "  columns:",
        "    1  x: Ash, Tin, Elk",
        "    2  y: 12, 9, 8",
        "    3  z: 7, 4, 8",
        "    4  r: 0.5, 1.5, 2.5",
        "  it could be:",
        "    1  wins = z, games = y",
        "    2  wins = y, games = z",
        "  say which, for example:",
        '--map card="x" --map wins="z" --map games="y"',
    ]
    assert error.candidates == tuple(answers)


def test_a_table_of_another_kind_is_named_and_nothing_of_it_is_proposed():
    with pytest.raises(MappingError) as caught:
        inspect_pool(BRIEF.encode(), name="mine.csv").sound_table()

    assert str(caught.value).splitlines() == [
        "mine.csv: cannot tell which column holds copies; a pool was wanted, and its headers "
        "are those of a table of cards",
        "  such a one is for:",
        "    winrate-tools rank TABLE",
        "  columns:",
        "    1  Card: Ash Vine, Tin Moth",
        "    2  Games: 12, 9",
        "    3  Wins: 7, 4",
        "  if it is a pool all the same, say which columns hold what, by header or number:",
        "--map card=HEADER --map copies=HEADER",
    ]
    assert caught.value.candidates == ()


def test_a_kind_that_is_wanted_is_named_once():
    with pytest.raises(MappingError) as caught:
        inspect_pool(
            b"Card,Baseline,Games,Wins\nAsh,0.5,12,7\nTin,0.5,9,4\n", name="a.csv"
        ).sound_table()

    assert str(caught.value).splitlines()[0] == (
        "a.csv: a pool was wanted, and its headers are those of a list of candidates"
    )


def test_a_journal_is_named_whatever_it_is_read_as():
    journal = b"date,change,archetype,forecast,low,high\n2026-01-09,3 in,Kites,0.5,0.4,0.6\n"
    with pytest.raises(MappingError, match="those of a journal of changes and f") as caught:
        inspect_cards(journal).sound_table()

    assert "winrate-tools update TABLE --matches FILE --journal FILE" in str(caught.value)


def test_a_question_about_a_very_wide_table_stays_short():
    wide = sheet(",".join(["x"] * 500), ",".join(["z" * 500] * 500))
    error = unclear(wide, "who knows", [{"games": n} for n in range(1, 500)], {})

    assert "    and 460 more" in str(error).splitlines()
    assert len(str(error)) < 6000
    assert len(error.candidates) == 9


@pytest.mark.parametrize(
    ("header", "option"),
    [
        ("Win %", '"Win %"'),
        ("$(x)", "1"),
        ("a!b", "1"),
        ("3", "1"),
        ("", "1"),
        ("Übung", '"Übung"'),
    ],
)
def test_an_option_names_a_column_so_that_a_shell_leaves_it_alone(header: str, option: str):
    line = paste_line(sheet(f"{header},b", "Ash,1"), {"card": 1})

    assert line == f"--map card={option}"
    assert shlex.split(line)[1] == f"card={option.strip(chr(34))}"


SPLIT = "a,b,c,d,e\n" + "".join(
    f"Card {n},{style},{league},{50 + n},{20 + n}\n"
    for n in range(6)
    for style in ("Kites", "Moths", "Bells")
    for league in ("low", "high")
)


def test_what_tells_repeated_rows_apart_is_asked_for_in_the_same_line():
    with pytest.raises(MappingError) as caught:
        inspect_cards(SPLIT.encode()).sound_table()

    assert "\n  b and c together tell the rows apart\n" in str(caught.value)
    assert caught.value.candidates[0]["archetype"] == 2
    table = read_cards(SPLIT.encode(), columns=pasted(str(caught.value)))
    assert (len(table), table.strata) == (36, ("archetype", "skill_band"))
