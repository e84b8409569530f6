"""The program as a process: what only the operating system can show."""

import os
import pty
import resource
import signal
import subprocess
import sys
from pathlib import Path

import pytest

PROGRAM = [sys.executable, "-m", "winrate_tools"]
HEAVY = ["numpy", "pandas", "scipy", "pyarrow", "statsmodels", "matplotlib", "rich", "jinja2"]
LIST_MODULES = (
    "import sys, atexit; atexit.register(lambda: print(*sys.modules, file=sys.stderr)); "
    "from winrate_tools.__main__ import main; sys.argv = ['winrate-tools', {}]; main()"
)


def run(*arguments: str, **options) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, **options.pop("env", {})}
    return subprocess.run(
        [*PROGRAM, *arguments],
        capture_output=True,
        text=True,
        env=environment,
        check=False,
        timeout=60,
        **options,
    )


def modules_after(*arguments: str, **environment: str) -> set[str]:
    code = LIST_MODULES.format(", ".join(map(repr, arguments)))
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env={**os.environ, **environment},
        check=False,
        timeout=60,
    )
    return set(done.stderr.splitlines()[-1].split())


@pytest.mark.parametrize(
    ("arguments", "environment"),
    [
        (["--help"], {}),
        (["--version"], {}),
        (["rank", "--help"], {}),
        (
            [],
            {
                "_WINRATE_TOOLS_COMPLETE": "complete_bash",
                "COMP_WORDS": "w r",
                "COMP_CWORD": "1",
            },
        ),
    ],
    ids=["help", "version", "command help", "completion"],
)
def test_what_needs_no_numbers_loads_nothing_heavy(arguments, environment):
    loaded = modules_after(*arguments, **environment)

    assert "typer" in loaded
    assert loaded.isdisjoint(HEAVY)


def test_ranking_loads_no_library_that_it_does_not_need(table):
    loaded = modules_after("rank", table)

    assert "winrate_tools.ranking" in loaded
    assert loaded.isdisjoint({"pandas", "pyarrow", "statsmodels", "matplotlib", "rich"})


def test_help_takes_little_of_the_processor():
    spent = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        assert "Commands:" in run("--help").stdout
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)

    assert min(spent) < 0.15


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_offers_the_commands(shell):
    done = run(
        env={
            "_WINRATE_TOOLS_COMPLETE": f"complete_{shell}",
            "COMP_WORDS": "winrate-tools ra",
            "COMP_CWORD": "1",
            "_TYPER_COMPLETE_ARGS": "winrate-tools ra",
            "_TYPER_COMPLETE_FISH_ACTION": "get-args",
        }
    )

    assert "rank" in done.stdout
    assert "report" not in done.stdout


def test_a_reader_that_leaves_early_is_no_trouble(table):
    with subprocess.Popen(
        [*PROGRAM, "rank", table], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        process.stdout.close()
        said = process.stderr.read().decode()

    assert process.returncode == 0
    assert said == ""


def test_interrupting_leaves_nothing_behind(folder: Path):
    os.mkfifo("slow.csv")
    with (
        subprocess.Popen(
            [*PROGRAM, "rank", "slow.csv", "-o", "out.txt"], stderr=subprocess.PIPE
        ) as process,
        Path("slow.csv").open("wb"),
    ):
        process.send_signal(signal.SIGINT)
        said = process.stderr.read().decode()

    assert process.returncode == 130
    assert "Traceback" not in said
    assert [path.name for path in folder.iterdir()] == ["slow.csv"]


def test_what_comes_on_standard_input_is_not_written_over(table):
    before = Path(table).read_bytes()
    with Path(table).open("rb") as source:
        done = run("rank", "-", "-o", table, "--force", stdin=source)

    assert done.returncode == 2
    assert "-o names the table that is read" in done.stderr
    assert Path(table).read_bytes() == before


def test_an_ascii_stream_gets_ascii_and_different_verdicts(table):
    done = run("rank", table, env={"PYTHONIOENCODING": "ascii"})

    assert done.returncode == 0
    assert done.stdout.isascii()
    assert "- cut" in done.stdout
    assert "+ keep" in done.stdout


def on_a_terminal(*arguments: str, **environment: str) -> str:
    """Run the program on a terminal of its own and return all it writes there."""
    leader, follower = pty.openpty()
    with subprocess.Popen(
        [*PROGRAM, *arguments],
        stdin=follower,
        stdout=follower,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "80", **environment},
    ):
        os.close(follower)
        written = b""
        while chunk := _read(leader):
            written += chunk
    os.close(leader)
    return written.decode()


def _read(leader: int) -> bytes:
    try:
        return os.read(leader, 65536)
    except OSError:
        return b""


def test_a_terminal_gets_colours(table):
    assert "\x1b[33m▼ cut" in on_a_terminal("rank", table)


@pytest.mark.parametrize(
    "environment", [{"NO_COLOR": "1", "FORCE_COLOR": "1"}, {"TERM": "dumb"}]
)
def test_no_escape_code_where_none_is_wanted(environment, table):
    said = on_a_terminal("rank", table, **environment)

    assert "▼ cut" in said
    assert "\x1b" not in said
