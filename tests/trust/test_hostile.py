"""Names that would be formulas, markup, escapes or paths stay names, in every form."""

import csv
import datetime as dt
import json
import os
import re
import socket
import sys
import zipfile
from html.parser import HTMLParser
from io import StringIO
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from markdown_it import MarkdownIt
from typer.testing import CliRunner

from winrate_tools.cli.app import app
from winrate_tools.ingest.cells.names import tidy
from winrate_tools.ingest.tables.candidates import read_candidates
from winrate_tools.ingest.tables.cards import read_cards
from winrate_tools.ingest.tables.journal import read_journal, write_journal
from winrate_tools.ingest.tables.pools import read_pool
from winrate_tools.journal import JournalRow
from winrate_tools.report.cards.records import rows_csv

HOSTILE = [
    "=cmd|' /C calc'!A0",
    '=HYPERLINK("http://e.invalid","x")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(2)</script>",
    "]]>&lt;b&gt;<!--",
    "{{ 7*7 }}{% for x in y %}",
    "${7*7} #{x} %s %(a)s {0}",
    "[a](javascript:alert(1))",
    "![x](http://e.invalid/x.png)",
    "|a|b\\|",
    "`c` ```d",
    "../../outside",
    "/etc/outside\\..\\x",
    "sep\u2028arator",
    "cr\rreturn",
    "line\nfeed",
    "$x^2$",
    "'; DROP TABLE cards; --",
    "\uff1d1+1",
]
INVISIBLE = [
    "\x1b]0;owned\x07\x1b[2J",
    "red\x1b[31mname",
    "\x9b31mC1",
    "back\x08space\x7f",
    "rtl\u202egnp.exe",
    "iso\u2066late\u2069",
    "zero\u200bwidth\ufeff",
]
LABELS = [*HOSTILE[:2], *INVISIBLE]
UNSEEN = re.compile(
    r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ufeff]"
)
FORMULA = re.compile(r"[=+@\t\r\n\uff1d\uff0b\uff0d\uff20]|-(?![\d.])|-\d+[^\d.e]")
MARKDOWN = MarkdownIt("gfm-like", {"linkify": False, "html": True})
ELEMENTS = {"script", "img", "iframe", "object", "embed", "link", "base", "form"}
CARDS = ["hostile.csv"]
PLAN = ["plan", *CARDS, "--pool", "pool.csv", "--candidates", "candidates.csv"]
COMMANDS = {
    "rank": ["rank", *CARDS],
    "report": ["report", *CARDS],
    "archetypes": ["archetypes", *CARDS],
    "plan": PLAN,
    "packs": ["packs", "--pool", "pool.csv", "--seats", "2", "--packs", "1", "--size", "5"],
    "changes": ["changes", "pool.csv", "newer.csv"],
    "update": ["update", *CARDS, "--matches", "matches.csv"],
    "check": ["check", *CARDS],
    "tally": ["tally", "log.csv"],
    "decks": ["decks", "log.csv"],
}


def written(path: str, header: str, rows: list[tuple[object, ...]]) -> None:
    text = StringIO()
    csv.writer(text, lineterminator="\r\n").writerows([header.split(","), *rows])
    Path(path).write_bytes(text.getvalue().encode())


@pytest.fixture
def tables(folder: Path) -> Path:
    """Write tables whose every label is hostile."""
    for path in folder.iterdir():
        path.unlink()
    pairs = list(enumerate(HOSTILE))
    cards = [
        (name, deck, "steady", 700 + 9 * n, 300 + 7 * n) for n, name in pairs for deck in LABELS
    ]
    written("hostile.csv", "card,archetype,skill_band,games,wins", cards)
    pool = [
        (name, 1 + n % 3, LABELS[n % 9], HOSTILE[n - 2], LABELS[n % 8]) for n, name in pairs
    ]
    header = "card,copies,faction,rarity,role"
    written("pool.csv", header, pool)
    written("newer.csv", f"{header},why", [(*row, row[0]) for row in pool[5:]])
    new = [(f"{name} again", 3, LABELS[n % 9], "stronger") for n, name in pairs]
    written("candidates.csv", "card,copies,faction,guess", new)
    matches = [
        (name, HOSTILE[n - 1], LABELS[n % 9], LABELS[(n + 1) % 9], 2, 1) for n, name in pairs
    ]
    header = "player,opponent,archetype,opponent_archetype,games_won,games_lost"
    written("matches.csv", header, matches)
    games = [
        (f"g{n}", HOSTILE[n % 9], n // 2 % 2, HOSTILE[(n + step) % len(HOSTILE)], step % 2)
        for n in range(60)
        for step in range(4)
    ]
    written("log.csv", "game,archetype,won,card,held", games)
    return folder


def run(*arguments: str) -> str:
    done = CliRunner().invoke(app, list(arguments))
    assert done.exit_code == 0, (done.exit_code, done.output[-2000:], done.exception)
    return done.stdout + done.stderr


def assert_seen(text: str) -> None:
    """Nothing in it steers a terminal, breaks a line or turns the writing round."""
    assert UNSEEN.findall(text) == []


@pytest.mark.parametrize("form", ["table", "md", "html"])
@pytest.mark.parametrize("command", COMMANDS)
def test_nothing_steers_a_terminal_or_hides(tables: Path, command: str, form: str):
    said = run(*COMMANDS[command], "--format", form)

    assert_seen(said)
    assert said


@pytest.mark.parametrize("name", INVISIBLE)
def test_a_card_whose_name_hides_something_is_refused_in_words_that_hide_nothing(
    tables: Path, name: str
):
    written("hidden.csv", "card,games,wins", [(name, 200, 96), ("Tin Moth", 90, 41)])
    done = CliRunner().invoke(app, ["rank", "hidden.csv"])

    assert done.exit_code == 1
    assert "holds the invisible character" in done.stderr
    assert_seen(done.stdout + done.stderr)


@pytest.mark.parametrize("command", COMMANDS)
def test_no_name_is_markup_in_markdown(tables: Path, command: str):
    tokens = MARKDOWN.parse(run(*COMMANDS[command], "--format", "md"))

    inside = [one for token in tokens for one in token.children or []]
    kinds = {token.type for token in [*tokens, *inside]}
    assert "text" in kinds
    assert kinds.isdisjoint({"html_block", "html_inline", "link_open", "image", "s_open"})


def test_nothing_hides_in_a_brief(tables: Path):
    assert_seen(run("report", *CARDS, "--format", "brief"))


@pytest.mark.parametrize("command", sorted(COMMANDS.keys() - {"report", "changes"}))
def test_no_cell_of_a_csv_file_is_a_formula(tables: Path, command: str):
    run(*COMMANDS[command], "-o", "out.csv", "--force")

    with Path("out.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file, strict=True))
    cells = [cell for row in rows for cell in row]
    assert len({len(row) for row in rows}) == 1
    assert [cell for cell in cells if FORMULA.match(cell)] == []
    assert [cell for cell in cells if UNSEEN.search(cell)] == []


def spelt_out(label: str | None) -> str | None:
    return label and UNSEEN.sub(lambda one: one[0].encode("unicode_escape").decode(), label)


@pytest.fixture
def new_pool(tables: Path) -> list[dict[str, str]]:
    """Plan a pool of hostile cards with good candidates, and return its rows as written."""
    new = [
        (f"{name} again", 3, LABELS[n % 9], HOSTILE[n - 2], LABELS[n % 8], 9000, 5400, 0.5)
        for n, name in enumerate(HOSTILE)
    ]
    written("candidates.csv", "card,copies,faction,rarity,role,games,wins,baseline", new)
    said = run(*PLAN, "--new-pool", "new.csv")
    assert_seen(said)
    with Path("new.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def test_no_cell_of_a_new_pool_is_a_formula_whatever_came_or_went(
    new_pool: list[dict[str, str]],
):
    cells = [cell for row in new_pool for cell in row.values()]
    came = [row for row in new_pool if row["card"].endswith("again")]
    gone = [row for row in new_pool if row["copies"] == "0"]

    assert came
    assert gone
    assert [cell for cell in cells if FORMULA.match(cell)] == []
    assert [cell for cell in cells if UNSEEN.search(cell)] == []
    assert {len(row) for row in new_pool} == {10}


def test_a_new_pool_holds_every_card_by_its_own_name_and_no_other(
    new_pool: list[dict[str, str]],
):
    old, new = read_pool("pool.csv"), read_pool("new.csv")
    offered = read_candidates("candidates.csv").candidates

    known = {card.card for card in (*old.cards, *(one.card for one in offered))}
    assert {card.card for card in old.cards} <= {card.card for card in new.cards} <= known
    assert len(new_pool) == len(new.cards) > len(old.cards)
    kept = {card.card: card for card in new.cards}
    assert [(kept[card.card].faction, kept[card.card].role) for card in old.cards] == [
        (spelt_out(card.faction), spelt_out(card.role)) for card in old.cards
    ]


def test_a_new_pool_of_hostile_names_can_be_dealt_and_told(new_pool: list[dict[str, str]]):
    deal = ["packs", "--pool", "new.csv", "--seats", "2", "--packs", "1", "--size", "5"]
    tell = ["changes", "pool.csv", "new.csv"]
    said = [
        run(*command, "--format", form) for command in (deal, tell) for form in ("md", "table")
    ]

    assert len(new_pool) == len(read_pool("new.csv").cards)
    assert_seen("".join(said))


@pytest.mark.parametrize("name", [*HOSTILE, *INVISIBLE])
def test_a_journal_can_be_read_whatever_its_words(tmp_path: Path, name: str):
    day, path = dt.date(2026, 1, 9), tmp_path / "journal.csv"
    write_journal(path, [JournalRow(day, name, name), JournalRow(day, "3 in", "Kites")])

    first, second = read_journal(path)
    assert first.change == first.archetype == name.replace("\r", "\n").strip()
    assert second.archetype == "Kites"


def test_a_lone_return_does_not_end_a_row_of_csv():
    rows = list(csv.reader(StringIO(rows_csv([{"card": "a\rb", "games": 3}])), strict=True))

    assert rows == [["card", "games"], ["a\nb", "3"]]


@pytest.mark.parametrize("name", [*HOSTILE, "'=1", "'quoted'"])
def test_a_name_comes_back_from_the_csv_file_that_guards_it(name: str):
    kept = tidy(name) if "'" not in name[:1] else name
    rows = [{"card": card, "games": 90, "wins": 41} for card in (kept, "Tin Moth")]

    assert read_cards(rows_csv(rows).encode()).card == (kept, "Tin Moth")


@pytest.mark.parametrize("command", sorted(COMMANDS.keys() - {"report", "changes"}))
def test_json_holds_names_as_they_are_and_stays_on_its_lines(tables: Path, command: str):
    run(*COMMANDS[command], "-o", "out.json", "--force")

    text = Path("out.json").read_text(encoding="ascii")
    assert json.loads(text)
    assert_seen(text)


def test_no_cell_of_a_workbook_is_a_formula_or_a_link(tables: Path):
    run("report", *CARDS, "--xlsx", "out.xlsx")

    with zipfile.ZipFile("out.xlsx") as book:
        names = book.namelist()
        sheets = [ET.fromstring(book.read(name)) for name in names if "sheets/sheet" in name]
    tags = {element.tag.rpartition("}")[2] for sheet in sheets for element in sheet.iter()}
    assert "c" in tags
    assert tags.isdisjoint({"f", "hyperlink", "hyperlinks"})
    assert [name for name in names if "external" in name or "vba" in name] == []


class Elements(HTMLParser):
    """Gathers the elements of a page, their attributes, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.words: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def page_of(table: str) -> Elements:
    run("report", table, "--html", "out.html", "-o", "out.txt", "--force")
    return Elements(Path("out.html").read_text(encoding="utf-8"))


def test_a_page_holds_no_element_that_a_name_brought(tables: Path):
    hostile = page_of("hostile.csv")
    rows = Path("hostile.csv").read_bytes()
    tame = rows.decode()
    for n, name in enumerate(HOSTILE):
        quoted = name.replace('"', '""')
        tame = tame.replace(f'"{quoted}",', f"Lamp {n:02d},").replace(
            f"{name},", f"Lamp {n:02d},"
        )
    Path("tame.csv").write_bytes(tame.encode())
    tamed = page_of("tame.csv")

    assert {tag: hostile.tags.count(tag) for tag in ELEMENTS} == {
        tag: tamed.tags.count(tag) for tag in ELEMENTS
    }
    assert {name for name, _ in hostile.attributes} == {name for name, _ in tamed.attributes}
    assert [
        value for _, value in hostile.attributes if (value or "").startswith("javascript")
    ] == []
    text = "".join(hostile.words)
    assert "{{ 7*7 }}" in text
    assert_seen(text)


def test_pictures_hold_no_element_that_a_name_brought(tables: Path):
    run("report", *CARDS, "-o", "out.md")

    pictures = list(tables.glob("out.*.svg"))
    texts = [path.read_text(encoding="utf-8") for path in pictures]
    tags = {
        item.tag.rpartition("}")[2] for text in texts for item in ET.fromstring(text).iter()
    }
    assert pictures
    assert tags.isdisjoint(ELEMENTS | {"a", "foreignObject", "image"})
    assert_seen("".join(texts))


class Watch:
    """Notes what a program asks of the system, while it is asked to."""

    def __init__(self) -> None:
        self.is_on = False
        self.asked: set[str] = set()
        self.read: set[Path] = set()
        self.written: set[Path] = set()
        sys.addaudithook(self.note)

    def note(self, event: str, details: tuple[object, ...]) -> None:
        if not self.is_on:
            return
        self.asked.add(event)
        if event == "open" and isinstance(details[0], str):
            is_written = bool(int(details[2]) & (os.O_WRONLY | os.O_RDWR))
            (self.written if is_written else self.read).add(Path(details[0]).absolute())


FORBIDDEN = ("socket.", "subprocess.", "os.system", "os.exec", "os.spawn", "pickle.", "urllib.")


@pytest.fixture(scope="module")
def watch() -> Watch:
    """Watch from here on: what listens to the system can never be taken off again."""
    return Watch()


@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_uses_the_network_or_touches_a_file_that_was_not_named(
    tables: Path, command: str, watch: Watch
):
    before = {path: path.read_bytes() for path in tables.iterdir()}
    watch.asked, watch.read, watch.written = set(), set(), set()
    watch.is_on = True
    try:
        run(*COMMANDS[command], "-o", "out.md")
    finally:
        watch.is_on = False

    known = {*COMMANDS[command], "winrate.toml", "out.md"}
    read = {path.name for path in watch.read if path.is_relative_to(tables.parent)}
    made = {path.name for path in set(tables.iterdir()) - before.keys()}
    outside = {path for path in watch.written if path.parent != tables}
    assert [event for event in watch.asked if event.startswith(FORBIDDEN)] == []
    assert "open" in watch.asked
    assert read <= known
    assert {path for path in outside if path.suffix[:4] != ".pyc"} == set()
    assert [name for name in made if not re.fullmatch(r"out(\.\w+)?\.(md|svg)", name)] == []
    assert {path: path.read_bytes() for path in before} == before


def test_the_watch_sees(tmp_path: Path, watch: Watch):
    watch.is_on = True
    with socket.socket() as line, (tmp_path / "a").open("w"):
        line.close()
    (tmp_path / "a").read_bytes()
    watch.is_on = False

    assert "socket.__new__" in watch.asked
    assert tmp_path / "a" in watch.read & watch.written
