"""Card tables, from bytes to a checked table."""

import csv
import gzip
import io
import subprocess
import sys

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.check import STEPS, Columns, check_rows
from winrate_tools.ingest.tables.cards import build_cards, inspect_cards, read_cards
from winrate_tools.tables import Source

BRIEF = b"Card,Games,Wins\nAsh Vine,12,7\nTin Moth,9,4\n"
HEAVY = ("pandas", "pyarrow", "scipy", "statsmodels", "matplotlib")


def test_an_inspection_tells_everything():
    seen = inspect_cards(
        "Fair\nKarte;Spiele;Siege;Preis\nA;9;4;1,50\n".encode("utf-16"), name="x"
    )

    assert (seen.name, seen.encoding, seen.delimiter, seen.decimal) == ("x", "UTF-16", ";", ",")
    assert (seen.header_line, seen.rows) == (2, 1)
    assert seen.headers == ("Karte", "Spiele", "Siege", "Preis")
    assert seen.roles == {"card": "Karte", "games": "Spiele", "wins": "Siege"}
    assert seen.unused == ("Preis",)
    assert seen.assignments[1].why == 'its header "Spiele" says so'
    assert seen.table is not None
    assert seen.table.source.roles == seen.roles


def test_an_inspection_keeps_the_question_instead_of_raising_it():
    seen = inspect_cards(b"a,b,c\nAsh,12,7\nTin,9,4\nElk,1\n")

    assert seen.unclear is not None
    assert seen.table is None
    assert [problem.place for problem in seen.problems] == ["<memory>:4:2"]


def test_reading_text_imports_nothing_heavy():
    code = (
        "import sys; from winrate_tools.ingest.tables.cards import read_cards; "
        f"read_cards({BRIEF!r}); print([m for m in {HEAVY!r} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)

    assert done.stdout.strip() == b"[]"


def columns(*lines: str) -> Columns:
    seen = view(*lines)
    return check_rows(seen.sheet, dict(seen.where), STEPS, total="games")


def test_a_table_is_built_with_every_column_and_its_source():
    made = columns("Card,Games,Wins,Archetype,Mean pick,Rarity", "Ash,9,4,Fair,2.5,rare")
    built = build_cards(
        made, Source("cards.csv", "abc", {"card": "Card"}, ("said before",)), False, False
    )

    assert built.problems == ()
    assert built.table is not None
    assert (built.table.card, built.table.archetype) == (("Ash",), ("Fair",))
    assert (built.table.rarity, built.table.mean_pick.tolist()) == (("rare",), [2.5])
    assert built.table.source == Source("cards.csv", "abc", {"card": "Card"}, ("said before",))


def test_problems_stand_in_the_way_of_a_table():
    made = columns("Card,Games,Wins", "Ash,9,14", "Tin,9,4")
    built = build_cards(made, Source(), False, False)

    assert built.table is None
    assert [problem.place for problem in built.problems] == ["cards.csv:2:3"]


def test_repeats_are_added_up_where_they_are_to_be():
    made = columns("Card,Games,Wins", "Ash,5,3", "Tin,7,1", "Ash,4,1")
    built = build_cards(made, Source(), False, True)

    assert built.table is not None
    assert (built.table.card, built.table.games.tolist()) == (("Ash", "Tin"), [9, 7])
    assert built.table.wins.tolist() == [4, 1]


NAMES = (
    st.text(
        st.characters(
            codec="cp1252", categories=["L", "N", "P", "S", "Zs"], exclude_characters="="
        ),
        min_size=1,
        max_size=12,
    )
    .map(str.strip)
    .filter(lambda name: any(letter.isalpha() for letter in name))
)
COUNTS = st.tuples(st.integers(1, 3_000_000), st.floats(0, 1))
GROUPS = {".": [",", " ", "'", "\u00a0", ""], ",": [".", " ", "'", "\u202f", ""]}


@st.composite
def cards(draw: st.DrawFn) -> list[tuple[str, int, int]]:
    names = draw(
        st.lists(
            NAMES, min_size=4, max_size=9, unique_by=lambda n: "".join(n.casefold().split())
        )
    )
    made = [(f"Q{n} {name}", draw(COUNTS)) for n, name in enumerate(names)]
    return [(name, games, round(games * share)) for name, (games, share) in made]


@st.composite
def dialects(draw: st.DrawFn) -> dict[str, object]:
    decimal = draw(st.sampled_from(".,"))
    return {
        "decimal": decimal,
        "group": draw(st.sampled_from(GROUPS[decimal])),
        "delimiter": draw(
            st.sampled_from([";", "\t", "|"] if decimal == "," else [",", ";", "\t"])
        ),
        "encoding": draw(st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-32"])),
        "end": draw(st.sampled_from(["\n", "\r\n", "\r"])),
        "quoting": draw(
            st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC])
        ),
        "titles": draw(
            st.sampled_from([[], ["Spring fair"], ["Spring fair", "", "by the table"]])
        ),
        "order": draw(st.permutations(range(4))),
        "headers": draw(
            st.sampled_from([("Card", "Games", "Wins", "Win rate"), ("h", "i", "j", "k")])
        ),
        "percent": draw(st.sampled_from(["%", " %", "\u00a0%", ""])),
        "sep": draw(st.booleans()),
        "packed": draw(st.booleans()),
    }


def grouped(count: int, mark: str) -> str:
    return f"{count:,}".replace(",", mark)


def render(rows: list[tuple[str, int, int]], how: dict) -> bytes:
    text = io.StringIO()
    writer = csv.writer(
        text, delimiter=how["delimiter"], lineterminator=how["end"], quoting=how["quoting"]
    )
    if how["sep"]:
        text.write(f"sep={how['delimiter']}{how['end']}")
    for title in how["titles"]:
        text.write(title + how["end"])
    for row in [None, *rows]:
        cells = how["headers"] if row is None else _cells(row, how)
        writer.writerow([cells[n] for n in how["order"]])
    data = text.getvalue().encode(how["encoding"])
    return gzip.compress(data) if how["packed"] else data


def plain(name: str) -> str:
    """Make every blank of a name the plain one, as readers do."""
    return name.replace("\u00a0", " ")


def _cells(row: tuple[str, int, int], how: dict) -> tuple[str, ...]:
    name, games, wins = row
    rate = f"{100 * wins / games:.2f}".replace(".", how["decimal"]) + how["percent"]
    return name, grouped(games, how["group"]), grouped(wins, how["group"]), rate


@settings(max_examples=150, deadline=None)
@given(cards(), dialects())
def test_a_table_is_read_back_unchanged_from_any_dialect(rows, how):
    told = {"columns": {"card": 1 + list(how["order"]).index(0)}}
    if how["headers"][0] == "h":
        told["columns"] |= {
            "games": 1 + list(how["order"]).index(1),
            "wins": 1 + list(how["order"]).index(2),
        }
    table = read_cards(render(rows, how), **told)

    counts = zip(table.card, table.games, table.wins, strict=True)
    assert [(name, int(games), int(wins)) for name, games, wins in counts] == [
        (plain(name), games, wins) for name, games, wins in rows
    ]


@settings(max_examples=60, deadline=None)
@given(cards(), dialects())
def test_no_dialect_is_read_wrong_without_being_told(rows, how):
    seen = inspect_cards(render(rows, how))

    assert (seen.table is None) == (seen.unclear is not None or bool(seen.problems))
    if seen.table is not None:
        assert seen.table.card == tuple(plain(name) for name, _, _ in rows)
        assert seen.table.games.tolist() == [games for _, games, _ in rows]
        assert seen.table.wins.tolist() == [wins for _, _, wins in rows]
