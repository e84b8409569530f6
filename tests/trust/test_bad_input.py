"""Bytes of any kind: read, or refused in words, soon and in little memory."""

import gzip
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import settings as house
from hypothesis import strategies as st

from tests.fuzz.targets import TARGETS, thrown
from winrate_tools.errors import TableError
from winrate_tools.ingest.tables.cards import read_cards

ROOT = Path(__file__).parents[2]
CASES = sorted(
    path for path in (ROOT / "tests" / "fuzz" / "cases").rglob("*") if path.is_file()
)
HEADS = [
    b"".join(path.read_bytes().splitlines(keepends=True)[:6])
    for path in sorted((ROOT / "sample_data").glob("*.csv"))
]
PIECES = [
    *(b'"', b'""', b",", b";", b"\t", b"\n", b"\r", b"\r\n", b"\0", b"\xff", b"\xef\xbb\xbf"),
    *(b"9" * 400, b"1e999", b"-1", b"nan", b"inf", b"0.5", b"1.204", b"1,204", b"101%", b"'="),
    *("\u202e".encode(), "\uff11".encode(), b"[mapping]\n", b"{", b"\x1f\x8b", b"PAR1"),
]
Mutation = tuple[int, int, bytes]


def mutated(head: bytes, changes: list[Mutation]) -> bytes:
    for at, length, piece in changes:
        start = at % (len(head) + 1)
        head = head[:start] + piece + head[start + length :]
    return head


@pytest.mark.parametrize("name", TARGETS)
@house(max_examples=40)
@given(data=st.binary(max_size=300))
@example(data=b"")
def test_any_bytes_are_read_or_refused(name: str, data: bytes):
    assert thrown(name, data) is None


@pytest.mark.parametrize("name", TARGETS)
@house(max_examples=60)
@given(
    head=st.sampled_from(HEADS),
    changes=st.lists(
        st.tuples(st.integers(0, 2000), st.integers(0, 40), st.sampled_from(PIECES)),
        min_size=1,
        max_size=4,
    ),
)
def test_tables_that_were_tampered_with_are_read_or_refused(
    name: str, head: bytes, changes: list[Mutation]
):
    assert thrown(name, mutated(head, changes)) is None


@pytest.mark.parametrize("path", CASES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_what_was_once_found_stays_mended(path: Path):
    assert thrown(path.parent.name, path.read_bytes()) is None


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"a," * 10_000 + b"a\n" + b"1," * 10_000 + b"1\n", "line 1 holds 10,001 cells"),
        (b"a,b\n" + b"1," * 10_000 + b"1\n", "line 2 holds 10,001 cells"),
        (b"a,b\n1," + b"x" * (1 << 22) + b"\n", "line 2 holds 4,194,307 letters"),
    ],
)
def test_a_table_too_wide_is_refused_before_it_costs_anything(data: bytes, reason: str):
    with pytest.raises(TableError, match=reason):
        read_cards(data)


def one_long_line(path: Path) -> None:
    with path.open("wb") as file:
        file.write(b"card,games,wins\n")
        file.truncate(1 << 30)


def a_long_cell(path: Path) -> None:
    path.write_bytes(b"card,games,wins\n" + b"x" * (100 << 20) + b",3,2\n")


def a_million_columns(path: Path) -> None:
    header = ",".join(f"c{number}" for number in range(1_000_000))
    path.write_text(f"{header}\n{'1,' * 999_999}1\n")


def a_gzip_bomb(path: Path) -> None:
    packed = gzip.compress(b"0" * (1 << 24), 9)
    path.write_bytes(packed * 64)


def deep_quotes(path: Path) -> None:
    path.write_bytes(b"card,games,wins\n" + b'"' * 5_000_001 + b",3,2\n")


def open_quotes(path: Path) -> None:
    path.write_bytes(b"card,games,wins\n" + b'"a,3,2\n' * 300_000)


def many_bad_rows(path: Path) -> None:
    path.write_bytes(b"card,games,wins\n" + b"a,3\n" * 300_000)


GIANTS: list[Callable[[Path], None]] = [
    one_long_line, a_long_cell, a_million_columns, a_gzip_bomb, deep_quotes, open_quotes,
    many_bad_rows,
]  # fmt: skip
MOST_SECONDS, MOST_MEGABYTES = 60, 500


@pytest.mark.slow
@pytest.mark.parametrize("make", GIANTS, ids=lambda make: make.__name__)
def test_a_giant_is_refused_with_a_reason_within_bounds(folder: Path, make):
    make(folder / "giant.csv")
    code = """if True:
        from pathlib import Path
        from winrate_tools.__main__ import main
        try:
            main()
        finally:
            lines = Path("/proc/self/status").read_text().splitlines()
            print(next(line for line in lines if line.startswith("VmHWM")).split()[1])
    """
    done = subprocess.run(
        [sys.executable, "-c", code, "check", "giant.csv"],
        capture_output=True,
        text=True,
        check=False,
        timeout=MOST_SECONDS,
    )
    assert done.returncode in {1, 2}
    assert "giant.csv" in done.stdout + done.stderr
    assert "bug" not in done.stderr
    assert int(done.stdout.split()[-1]) >> 10 <= MOST_MEGABYTES
