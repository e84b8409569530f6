"""One way to write: no other line of the source opens a file to write to it."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "winrate_tools"
MODULES = sorted(PACKAGE.rglob("*.py"))
WRITES = {
    "write_text", "write_bytes", "touch", "mkstemp", "NamedTemporaryFile", "rename", "renames",
    "unlink", "rmdir", "rmtree", "truncate", "copyfile", "symlink_to", "hardlink_to",
    "to_csv", "to_excel", "to_parquet", "to_json", "to_pickle", "tofile", "save", "savez",
    "savetxt", "savefig", "ParquetWriter", "fdopen", "system", "popen", "Popen",
}  # fmt: skip
WRITERS = {
    "files.py": "writes beside the file, then moves into place",
    "ingest/logs/log_cache.py": "does the same for copies too large for memory",
    "cli/own_output.py": "writes to the output that the program was given",
    "report/cards/plots.py": "writes to a folder of its own, from which the file is then made",
}


def short(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def writes(tree: ast.AST) -> set[str]:
    """Calls that may change what lies on the disk."""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    named = {_name(call) for call in calls} & WRITES
    opened = {"open" for call in calls if _name(call) == "open" and _is_for_writing(call)}
    moved = {"replace" for call in calls if _name(call) == "replace" and _moves(call)}
    return named | opened | moved


def _name(call: ast.Call) -> str:
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def _is_for_writing(call: ast.Call) -> bool:
    said = [*call.args, *(word.value for word in call.keywords if word.arg == "mode")]
    modes = [each.value for each in said if isinstance(each, ast.Constant)]
    return any(isinstance(mode, str) and set(mode) & set("wax+") for mode in modes)


def _moves(call: ast.Call) -> bool:
    """Tell a file that is moved from a text or a dataclass: it gets one thing, by place."""
    return isinstance(call.func, ast.Attribute) and len(call.args) == 1 and not call.keywords


@pytest.mark.parametrize("path", MODULES, ids=short)
def test_only_the_writers_write(path: Path):
    found = writes(ast.parse(path.read_text(encoding="utf-8")))

    assert not found or short(path) in WRITERS


@pytest.mark.parametrize("name", WRITERS)
def test_every_writer_is_there_and_writes(name: str):
    assert writes(ast.parse((PACKAGE / name).read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("path.write_text('a')", {"write_text"}),
        ("path.open('wb')", {"open"}),
        ("open(path, mode='a')", {"open"}),
        ("open(path, 'r+')", {"open"}),
        ("path.open('rb')", set()),
        ("path.open(encoding='utf-8')", set()),
        ("beside.replace(target)", {"replace"}),
        ("text.replace('a', 'b')", set()),
        ("replace(rows)", set()),
        ("figure.savefig(path)", {"savefig"}),
        ("os.fdopen(handle, 'wb')", {"fdopen"}),
    ],
)
def test_the_eye_for_writing_sees(code: str, found: set[str]):
    assert writes(ast.parse(code)) == found
