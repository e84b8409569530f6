"""Killed, out of room or unheard: a file is the old one or the new one, whole."""

import datetime as dt
import os
import random
import resource
import signal
import subprocess
import sys
import textwrap
import tomllib
from io import StringIO
from pathlib import Path

import pytest

from winrate_tools.__main__ import main
from winrate_tools.errors import OutputError
from winrate_tools.files import UNFINISHED, check_target, write_whole
from winrate_tools.ingest.roles.memory import header_key, remember_mapping
from winrate_tools.ingest.tables.journal import read_journal, write_journal
from winrate_tools.journal import JournalRow

PROGRAM = [sys.executable, "-m", "winrate_tools"]
SIZE = 1 << 20
OLD = b"as it was\n"
DAY = dt.date(2026, 1, 9)


def started(code: str, *arguments: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code), *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def killed_at_random(process: subprocess.Popen[str], seed: int) -> list[str]:
    """Kill a program soon after its first word, and return all that it had said."""
    with process:
        first = process.stdout.readline()
        pause = random.Random(seed).uniform(0, 0.03)
        with pytest.raises(subprocess.TimeoutExpired):
            process.wait(pause)
        process.send_signal(signal.SIGKILL)
        said = [first, *process.stdout]
    assert process.returncode == -signal.SIGKILL
    return [line for line in said if line.endswith("\n")]


def run(*arguments: str, **options) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*PROGRAM, *arguments],
        text=True,
        check=False,
        timeout=60,
        **{"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **options},
    )


@pytest.mark.parametrize("seed", range(6))
def test_a_file_whose_writer_is_killed_is_one_version_whole(folder: Path, seed: int):
    code = """
        import sys
        from itertools import cycle
        from pathlib import Path
        from winrate_tools.files import write_whole
        for letter in cycle("ab"):
            write_whole(Path("big.bin"), letter.encode() * int(sys.argv[1]))
            print("written", flush=True)
    """
    killed_at_random(started(code, str(SIZE)), seed)

    assert Path("big.bin").read_bytes() in {b"a" * SIZE, b"b" * SIZE}


def test_what_a_killed_writer_left_goes_with_the_next_write_there(folder: Path):
    code = """
        import os, signal
        from pathlib import Path
        from winrate_tools.files import write_whole
        Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
        write_whole(Path("big.bin"), b"new")
    """
    with started(code) as process:
        process.communicate()
    left = list(folder.glob(f"{UNFINISHED}*"))
    write_whole(Path("other.bin"), b"other")

    assert process.returncode == -signal.SIGKILL
    assert [path.exists() for path in left] == [False]
    assert not Path("big.bin").exists()


def test_a_writer_at_work_loses_nothing_to_others_in_its_folder(folder: Path):
    code = """
        import sys
        from pathlib import Path
        from winrate_tools.files import unfinished
        with unfinished(Path()) as beside:
            beside.write_bytes(b"long")
            print("begun", flush=True)
            sys.stdin.read()
            beside.replace("slow.bin")
    """
    with subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as process:
        process.stdout.readline()
        write_whole(Path("other.bin"), b"other")
        process.communicate()

    assert process.returncode == 0
    assert Path("slow.bin").read_bytes() == b"long"
    assert list(folder.glob(f"{UNFINISHED}*")) == []


@pytest.mark.parametrize("seed", range(3))
def test_a_journal_keeps_every_row_that_was_written_before_the_kill(folder: Path, seed: int):
    code = """
        import datetime as dt
        from pathlib import Path
        from winrate_tools.ingest.tables.journal import append_journal
        from winrate_tools.journal import JournalRow
        for number in range(10_000):
            row = JournalRow(dt.date(2026, 1, 9), f"change {number}", "Kites")
            append_journal(Path("journal.csv"), [row])
            print(number, flush=True)
    """
    said = killed_at_random(started(code), seed)

    changes = [row.change for row in read_journal(Path("journal.csv"))]
    assert changes == [f"change {number}" for number in range(len(changes))]
    assert len(said) <= len(changes) <= len(said) + 1


@pytest.mark.parametrize("seed", range(3))
def test_the_configuration_keeps_what_its_owner_wrote_when_a_run_is_killed(
    folder: Path, seed: int
):
    Path("winrate.toml").write_text("[settings]\nmargin = 3 # ours\n", encoding="utf-8")
    code = """
        from pathlib import Path
        from winrate_tools.ingest.roles.memory import remember_mapping
        for number in range(10_000):
            remember_mapping(Path(), ["card", f"games {number}"], {"card": 1})
            print(number, flush=True)
    """
    said = killed_at_random(started(code), seed)

    text = Path("winrate.toml").read_text(encoding="utf-8")
    assert text.startswith("[settings]\nmargin = 3 # ours\n")
    assert len(said) <= len(tomllib.loads(text)["mapping"]) <= len(said) + 1


@pytest.mark.parametrize(("moment", "when"), [(1, "before"), (2, "after"), (3, "before")])
def test_a_report_killed_between_its_files_leaves_each_whole(
    folder: Path, moment: int, when: str
):
    shown = ["small.csv", "-o", "cuts.md", "--html", "cuts.html", "--force"]
    write_small()
    assert run("report", *shown).returncode == 0
    whole = {path: path.read_bytes() for path in folder.glob("cuts.*")}
    for path in whole:
        path.write_bytes(OLD)
    code = """
        import os, signal, sys
        from pathlib import Path
        moment, when = int(sys.argv.pop(1)), sys.argv.pop(1)
        moves, move = iter(range(1, 99)), Path.replace
        def until_then(path, target):
            is_now = next(moves) == moment
            if is_now and when == "before":
                os.kill(os.getpid(), signal.SIGKILL)
            move(path, target)
            if is_now:
                os.kill(os.getpid(), signal.SIGKILL)
        Path.replace = until_then
        from winrate_tools.__main__ import main
        main()
    """
    with started(code, str(moment), when, "report", *shown) as process:
        process.communicate()

    assert process.returncode == -signal.SIGKILL
    now = {path: path.read_bytes() for path in whole}
    replaced = [path for path, data in now.items() if data != OLD]
    assert len(replaced) == moment - (when == "before")
    assert {path: now[path] for path in replaced} == {path: whole[path] for path in replaced}


def limited_to(size: int):
    """Let a program write no more than so many bytes to a file: a disk that fills up."""
    return lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))


@pytest.mark.parametrize(
    "arguments",
    [
        ["rank", "small.csv", "-o", "out.csv", "--force"],
        ["archetypes", "decks.csv", "-o", "out.json", "--force"],
        ["report", "small.csv", "-o", "out.md", "--force"],
        ["report", "small.csv", "--xlsx", "out.xlsx", "--force"],
        ["plan", "small.csv", "--pool", "few.csv", "--new-pool", "out.csv", "--force"],
    ],
    ids=lambda arguments: " ".join(arguments[:4:3]),
)
def test_a_disk_that_fills_up_leaves_the_old_file_and_no_litter(
    tables: None, folder: Path, arguments: list[str]
):
    Path(next(one for one in arguments if one.startswith("out."))).write_bytes(OLD)
    before = {path: path.read_bytes() for path in folder.iterdir()}

    done = run(*arguments, preexec_fn=limited_to(64), stdout=subprocess.DEVNULL)
    assert done.returncode == 2
    assert "cannot write out." in done.stderr
    assert "file too large" in done.stderr
    assert {path: path.read_bytes() for path in folder.iterdir()} == before


def test_a_journal_outlives_a_disk_that_fills_up(folder: Path):
    told = ["cards_by_archetype.csv", "--matches", "home.csv", "--changed", "Floating Flowers"]
    journal = ["--since", "2027-01-01", "--journal", "journal.csv"]
    write_journal(Path("journal.csv"), [JournalRow(DAY, "3 in", "River Lights")])
    before = Path("journal.csv").read_bytes()

    done = run("update", *told, *journal, preexec_fn=limited_to(64))
    assert "cannot write journal.csv: file too large" in done.stderr
    assert Path("journal.csv").read_bytes() == before


COMMANDS = [
    ["rank", "small.csv"],
    ["check", "small.csv"],
    ["archetypes", "decks.csv"],
    ["report", "small.csv"],
    ["packs", "--pool", "pool.csv", "--seats", "4"],
    ["changes", "pool.csv", "pool.csv"],
    ["power"],
    ["config", "show"],
    ["demo", "new"],
    ["--help"],
    ["--version"],
]


@pytest.fixture
def tables(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Write tables so small that a command takes no time."""
    monkeypatch.delenv("COLUMNS", raising=False)
    write_small()
    rows = [f"Lamp {n},{deck},{900 + 13 * n},{480 + 7 * n}" for n in range(9) for deck in "AB"]
    Path("decks.csv").write_text("\n".join(["card,archetype,games,wins", *rows]), "utf-8")


def write_small() -> None:
    rows = [f"Lamp {number},{900 + 13 * number},{480 + 7 * number}" for number in range(9)]
    Path("small.csv").write_text("\n".join(["card,games,wins", *rows]), "utf-8")
    pool = [f"Lamp {number},1" for number in range(9)]
    Path("few.csv").write_text("\n".join(["card,copies", *pool]), "utf-8")


class Deaf(StringIO):
    """A stream whose disk is full."""

    def write(self, text: str) -> int:
        raise OSError(28, "No space left on device")


def code_of(command: list[str], monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setattr(sys, "argv", ["winrate-tools", *command])
    with pytest.raises(SystemExit) as stop:
        main()
    return stop.value.code


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_a_full_disk_behind_standard_output_is_told_in_one_line(
    tables: None, command: list[str], monkeypatch: pytest.MonkeyPatch, capsys
):
    with Path("/dev/full").open("w") as full:
        monkeypatch.setattr(sys, "stdout", full)
        code = code_of(command, monkeypatch)
    monkeypatch.undo()

    said = capsys.readouterr().err
    assert code == 2
    assert said.endswith("error: cannot read or write: no space left on device\n")


@pytest.mark.parametrize("command", COMMANDS[:7], ids=lambda command: command[0])
def test_a_closed_standard_output_is_told_in_one_line(
    tables: None, command: list[str], monkeypatch: pytest.MonkeyPatch, capsys
):
    monkeypatch.setattr(sys, "stdout", None)
    code = code_of(command, monkeypatch)

    assert code == 2
    assert (
        "error: standard output is closed; -o FILE writes to a file" in capsys.readouterr().err
    )


@pytest.mark.parametrize("command", COMMANDS[:4], ids=lambda command: command[0])
def test_the_result_does_not_need_anybody_who_hears_the_notes(
    tables: None, command: list[str], monkeypatch: pytest.MonkeyPatch, capfdbinary
):
    heard = code_of(command, monkeypatch), capfdbinary.readouterr().out
    monkeypatch.setattr(sys, "stderr", Deaf())
    unheard = code_of(command, monkeypatch), capfdbinary.readouterr().out
    monkeypatch.setattr(sys, "stderr", None)
    closed = code_of(command, monkeypatch), capfdbinary.readouterr().out

    assert heard == unheard == closed
    assert heard[0] == 0
    assert heard[1]


def test_a_program_on_a_full_disk_ends_without_a_second_complaint(folder: Path):
    with Path("/dev/full").open("w") as full:
        done = run("--help", stdout=full)

    assert done.returncode == 2
    assert done.stderr == "error: cannot read or write: no space left on device\n"


@pytest.mark.parametrize("columns", ["9" * 5000, "0", "-1", "wide", "\u0663"])
def test_a_width_that_makes_no_sense_is_none(
    tables: None, columns: str, monkeypatch: pytest.MonkeyPatch, capsys
):
    usual = code_of(["check", "small.csv"], monkeypatch), capsys.readouterr().out
    monkeypatch.setenv("COLUMNS", columns)

    assert (code_of(["check", "small.csv"], monkeypatch), capsys.readouterr().out) == usual
    assert usual[0] == 0


def test_an_error_that_nobody_hears_keeps_its_exit_code(folder: Path):
    ear, mouth = os.pipe()
    os.close(ear)
    done = run("rank", "gone.csv", stderr=mouth)
    os.close(mouth)

    assert done.returncode == 2


def test_a_folder_that_cannot_be_written_to_is_told(folder: Path):
    with pytest.raises(OutputError, match=r"cannot write /proc/cuts\.csv: "):
        write_whole(Path("/proc/cuts.csv"), b"new")


def test_a_folder_without_leave_to_write_keeps_the_old_file(
    folder: Path, monkeypatch: pytest.MonkeyPatch
):
    def refuse(**_options: object) -> None:
        raise PermissionError(13, "Permission denied")

    Path("out.csv").write_bytes(OLD)
    monkeypatch.setattr("tempfile.mkstemp", refuse)
    with pytest.raises(OutputError, match=r"cannot write out\.csv: permission denied"):
        write_whole(Path("out.csv"), b"new")

    assert Path("out.csv").read_bytes() == OLD


@pytest.mark.parametrize("length", [251, 300])
def test_a_name_is_as_long_as_the_system_lets_it_be(
    tables: None, length: int, monkeypatch: pytest.MonkeyPatch, capsys
):
    target = Path("a" * length + ".csv")
    code = code_of(["rank", "small.csv", "-o", str(target)], monkeypatch)

    said = capsys.readouterr().err
    assert code == (0 if length == 251 else 2)
    assert ("file name too long" in said) == (length == 300)
    assert "bug" not in said


def test_a_link_to_itself_is_refused(folder: Path):
    Path("loop.csv").symlink_to("loop.csv")

    with pytest.raises(
        OutputError, match=r"write loop\.csv: it is a link that leads to itself"
    ):
        check_target(Path("loop.csv"), force=True)


def all_done(processes: list[subprocess.Popen[str]]) -> list[str]:
    said = [process.communicate(timeout=60)[1] for process in processes]
    assert [process.returncode for process in processes] == [0] * len(processes), said
    return said


def test_runs_that_remember_at_once_all_remember(folder: Path):
    code = """
        import sys
        from pathlib import Path
        from winrate_tools.ingest.roles.memory import remember_mapping
        for number in range(8):
            remember_mapping(Path(), ["card", f"{sys.argv[1]} {number}"], {"card": number + 1})
    """
    all_done([started(code, name) for name in "abcd"])

    kept = tomllib.loads(Path("winrate.toml").read_text(encoding="utf-8"))["mapping"]
    keys = {header_key(["card", f"{name} {number}"]) for name in "abcd" for number in range(8)}
    assert set(kept) == keys


def test_runs_that_add_to_a_journal_at_once_all_add(folder: Path):
    code = """
        import datetime as dt, sys
        from pathlib import Path
        from winrate_tools.ingest.tables.journal import append_journal
        from winrate_tools.journal import JournalRow
        for number in range(8):
            row = JournalRow(dt.date(2026, 1, 9), f"{sys.argv[1]} {number}", "Kites")
            append_journal(Path("journal.csv"), [row])
    """
    all_done([started(code, name) for name in "abcd"])

    changes = {row.change for row in read_journal(Path("journal.csv"))}
    assert changes == {f"{name} {number}" for name in "abcd" for number in range(8)}


def test_runs_that_write_one_file_at_once_leave_one_of_theirs(folder: Path):
    code = """
        import sys
        from pathlib import Path
        from winrate_tools.files import write_whole
        for _ in range(10):
            write_whole(Path("big.bin"), sys.argv[1].encode() * int(sys.argv[2]))
    """
    all_done([started(code, name, str(SIZE)) for name in "abcd"])

    assert Path("big.bin").read_bytes() in {name.encode() * SIZE for name in "abcd"}
    assert [path.name for path in folder.iterdir() if path.name.startswith(".")] == []


def test_a_journal_that_changed_since_it_was_read_is_not_written_over(folder: Path):
    path = Path("journal.csv")
    mine, theirs = JournalRow(DAY, "mine", "Kites"), JournalRow(DAY, "theirs", "Moths")
    write_journal(path, [theirs])

    with pytest.raises(OutputError, match="written to by others in the meantime; run it again"):
        write_journal(path, [mine], over=())
    assert read_journal(path) == (theirs,)
    write_journal(path, [theirs, mine], over=[theirs])
    assert read_journal(path) == (theirs, mine)


def test_without_locks_files_are_written_all_the_same(
    folder: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setitem(sys.modules, "fcntl", None)

    remember_mapping(Path(), ["card"], {"card": 1})
    assert Path("winrate.toml").exists()
