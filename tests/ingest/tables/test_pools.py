"""Reading a pool."""

from pathlib import Path

import pytest

from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables.pools import inspect_pool, inspect_protection, read_pool
from winrate_tools.pools import PoolCard

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"
BRIEF = b"card,copies\nAsh Vine,3\nTin Moth,1\n"


def test_the_sample_pool_is_read():
    pool = read_pool(SAMPLE / "pool.csv")

    assert (len(pool.cards), pool.size) == (240, 530)
    assert pool.cards[0] == PoolCard(
        "Ember Kettle",
        3,
        "Hearth",
        "common",
        "tool",
        0.4,
        archetypes=("Candlelit Supper", "Recipe Book", "Honey & Thyme"),
    )
    assert sum(card.is_protected for card in pool.cards) == 6
    assert {card.slot for card in pool.cards} == {"main", "lantern"}
    assert (pool.source.name, len(pool.source.sha256)) == ("pool.csv", 64)
    assert pool.source.notes == ()
    assert (pool.places[0], pool.places[-1]) == ("pool.csv:2", "pool.csv:241")


def test_a_pool_from_abroad_is_read():
    pool = read_pool(
        "Kartenname;Anzahl;Preis;Geschützt;Seltenheit\n"
        "Käfer;3;0,40 €;nein;häufig\nMotte;1;1.204,50 €;ja;selten\n".encode("cp1252")
    )

    assert [(card.card, card.price, card.is_protected) for card in pool.cards] == [
        ("Käfer", 0.4, False),
        ("Motte", 1204.5, True),
    ]


@pytest.mark.parametrize("header", ["Copies", "Quantity", "Anzahl", "Count", "Number", "Copis"])
def test_plain_loose_and_misspelt_words_name_the_copies(header: str):
    pool = read_pool(f"Name,{header}\nAsh Vine,3\nTin Moth,1\n".encode())

    assert [card.copies for card in pool.cards] == [3, 1]
    assert pool.source.roles == {"card": "Name", "copies": header}


def test_a_total_is_left_out_and_named():
    pool = read_pool(b"card,copies\nAsh Vine,3\nTin Moth,1\nTotal,4\n")

    assert pool.size == 4
    assert pool.source.notes == (
        "card total left out, its copies add up the other rows: line 4",
    )


def test_no_copies_are_a_number_of_copies():
    assert read_pool(b"card,copies\nAsh Vine,0\nTin Moth,1\n").cards[0].copies == 0


@pytest.mark.parametrize(
    ("row", "place", "message", "fix"),
    [
        ("Elk,,,", "2", "copies were wanted, got a blank cell for 'Elk'", "0 for none"),
        ("Elk,1.5,,", "2", "copies must be a whole number, got 1.5 for 'Elk'", "--skip-bad"),
        ("Elk,-1,,", "2", "copies must be 0 or more, got -1 for 'Elk'", "--skip-bad"),
        ("Elk,few,,", "2", "copies: a number was wanted, got 'few' for 'Elk'", "--skip-bad"),
        ("Elk,1,-2,", "3", "price must be at least 0, got -2 for 'Elk'", "--skip-bad"),
        ("Elk,1,,maybe", "4", "protected must be yes or no, got 'maybe' for 'Elk'", "blank"),
        (",1,,", "1", "a card name was wanted, got a blank cell", "name the card"),
        ("ash  vine,1,,", "1", "'Ash Vine' is listed twice, first on line 2", "delete one"),
        (
            "Total,9,,",
            "1",
            "'Total' reads like a total, but its copies are not the sum",
            "line",
        ),
    ],
)
def test_problems_stand_under_their_cell(row: str, place: str, message: str, fix: str):
    text = f"card,copies,price,protected\nAsh Vine,3,0.4,yes\nTin Moth,1,1,no\n{row}\n"

    [problem] = inspect_pool(text.encode()).problems

    assert problem.place == f"<memory>:4:{place}"
    assert problem.message.startswith(message)
    assert fix in problem.fix


def test_the_fix_for_a_repeat_names_no_option_that_does_not_help():
    [problem] = inspect_pool(b"card,copies\nAsh Vine,3\nAsh Vine,1\n").problems

    assert problem.fix == "delete one line, or add both up with --sum-duplicates"


def test_every_problem_is_told_in_one_error():
    with pytest.raises(TableError, match="3 problems; first: <memory>:2:2") as caught:
        read_pool(b"card,copies,price\nAsh Vine,,1\nTin Moth,x,-1\n")

    assert [problem.place for problem in caught.value.problems] == [
        "<memory>:2:2",
        "<memory>:3:2",
        "<memory>:3:3",
    ]


def test_bad_rows_can_be_left_out_and_repeats_added_up():
    text = b"card,copies,price\nAsh Vine,3,1\nElk,,2\nASH VINE,2,9\nTin Moth,1,\n"

    pool = read_pool(text, skip_bad=True, sum_duplicates=True)

    assert [(card.card, card.copies, card.price) for card in pool.cards] == [
        ("Ash Vine", 5, 1.0),
        ("Tin Moth", 1, None),
    ]
    assert pool.places == ("<memory>:2", "<memory>:5")
    assert len(pool.source.notes) == 3


def test_nothing_is_left_is_a_problem():
    with pytest.raises(TableError, match="no row is left, of 1"):
        read_pool(b"card,copies\nAsh Vine,-1\n", skip_bad=True)


def test_columns_without_a_word_are_asked_for_with_a_line_that_works():
    data = b"h0,h1,h2\nAsh Vine,x,3\nTin Moth,x,1\n"
    with pytest.raises(MappingError, match="cannot tell which column holds copies") as caught:
        read_pool(data)

    assert caught.value.candidates[0] == {"card": 1, "copies": 3}
    pool = read_pool(data, columns=caught.value.candidates[0])
    assert pool.size == 4


def test_a_table_without_numbers_is_answered_with_what_to_say():
    with pytest.raises(MappingError, match=r'columns={"card": "HEADER", "copies": "HEADER"}$'):
        read_pool(b"card,note\nAsh Vine,fine\nTin Moth,good\n")


def test_a_role_of_other_tables_is_unknown_here():
    with pytest.raises(SettingError, match=r"no role 'games'.*roles: card, copies"):
        read_pool(BRIEF, columns={"games": 1})


def test_a_table_of_another_kind_is_recognised():
    with pytest.raises(MappingError, match="those of a table of archetypes") as caught:
        read_pool(SAMPLE / "archetypes.csv")
    with pytest.raises(MappingError, match="a pool was wanted") as other:
        read_pool(SAMPLE / "home.csv")

    assert "archetypes(None, read_archetypes(TABLE))" in str(caught.value)
    assert "update(rank(read_cards(TABLE)), read_matches(FILE))" in str(other.value)


def test_a_pool_that_knows_its_games_is_still_a_pool():
    pool = read_pool(b"card,copies,games,wins\nAsh Vine,3,90,45\nTin Moth,1,80,41\n")

    assert pool.size == 4


def test_a_list_of_candidates_is_a_pool_if_the_user_says_so():
    with pytest.raises(MappingError, match="a list of candidates"):
        read_pool(SAMPLE / "candidates.csv")

    assert len(read_pool(SAMPLE / "candidates.csv", columns={"card": "card"}).cards) == 40


def test_a_remembered_mapping_is_followed_unless_told_not_to(tmp_path: Path):
    path = tmp_path / "pool.csv"
    path.write_text("a,b,c\nAsh Vine,9,3\nTin Moth,9,1\n", "utf-8")
    remember_mapping(tmp_path, ("a", "b", "c"), {"card": "a", "copies": "c"})

    pool = read_pool(path)

    assert pool.size == 4
    assert "remembered" in pool.source.notes[0]
    with pytest.raises(MappingError):
        read_pool(path, use_memory=False)


def test_cells_of_protection_are_told_as_they_are_written():
    text = "card,copies,protected\nAsh Vine,3, Ja \nTin Moth,1,\nElm,1,-\nAsh Vine,1,nein\n"
    found = inspect_protection(text.encode(), sum_duplicates=True)

    assert found.table == {"Ash Vine": "Ja", "Tin Moth": "", "Elm": "-"}
    assert found.delimiter == ","


def test_a_pool_without_protection_has_no_cells_of_it():
    assert inspect_protection(b"card,copies\nAsh Vine,3\n").table == {}
