"""Imports run one way: each room may use the rooms named beside it, and no other."""

import ast
import subprocess
import sys
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "winrate_tools"
MODULES = sorted(PACKAGE.rglob("*.py"))
CONTRACT = {
    "errors",
    "alike",
    "columns",
    "sums",
    "tables",
    "settings",
    "pools",
    "matches",
    "goals",
    "journal",
}
WORK = {
    *("ingest", "stats", "decide", "report", "simulate"),
    *("arguments", "answers", "ranking", "jobs"),
}
MAY_IMPORT = {
    "errors": set(),
    "alike": set(),
    "arguments": {"errors", "kinds"},
    "kinds": {"errors"},
    "columns": {"errors"},
    "bounds": {"errors"},
    "sums": set(),
    "tables": {"errors", "columns", "bounds", "sums", "kinds"},
    "settings": {"errors", "columns", "kinds"},
    "pools": {"errors", "alike", "tables", "kinds"},
    "matches": {"errors", "alike", "tables", "kinds"},
    "goals": {"errors", "settings", "kinds"},
    "journal": {"errors", "kinds"},
    "files": {"errors"},
    "ingest": CONTRACT | {"files"},
    "stats": CONTRACT,
    "simulate": CONTRACT | {"files"},
    "decide": CONTRACT | {"stats"},
    "report": CONTRACT | {"decide"},
    "answers": CONTRACT | {"report"},
    "ranking": CONTRACT | {"files", "decide", "report", "answers", "arguments"},
    "jobs": CONTRACT | {"stats", "decide", "report", "answers", "arguments", "ranking"},
    "__init__": CONTRACT | WORK,
    "cli": CONTRACT | WORK | {"files", "__init__"},
    "__main__": {"cli"},
}
HEAVY = {"pandas", "pyarrow", "statsmodels", "scipy.stats", "scipy.optimize", "matplotlib"}


class Imports(ast.NodeVisitor):
    """Gathers the full name of everything that a tree may import."""

    def __init__(self, tree: ast.AST) -> None:
        self.names: set[str] = set()
        self.visit(tree)

    def visit_Import(self, node: ast.Import) -> None:
        self.names |= {alias.name for alias in node.names}

    def visit_ImportFrom(self, node: ast.ImportFrom) -> None:
        self.names |= {f"{node.module}.{alias.name}" for alias in node.names}


class TopImports(Imports):
    """Gathers only what is imported as soon as the module is."""

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        """Leave out what waits for a call."""

    def visit_AsyncFunctionDef(self, node: ast.AsyncFunctionDef) -> None:
        """Leave out what waits for a call."""

    def visit_If(self, node: ast.If) -> None:
        for child in node.orelse if "TYPE_CHECKING" in ast.unparse(node.test) else node.body:
            self.visit(child)


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def rooms_used(tree: ast.Module) -> set[str]:
    """Rooms of ours that a module imports from; the version is everybody's."""
    ours = [name.split(".") for name in Imports(tree).names if name.startswith("winrate_tools")]
    rooms = {(*parts, "__init__")[1] for parts in ours if parts[1:] != ["__version__"]}
    return {room if room in MAY_IMPORT else "__init__" for room in rooms}


def heavy(names: set[str]) -> set[str]:
    return {name for name in names for lib in HEAVY if f"{name}.".startswith(f"{lib}.")}


@pytest.mark.parametrize("room", MAY_IMPORT)
def test_a_room_imports_only_what_it_may(room: str):
    files = [*PACKAGE.glob(f"{room}.py"), *PACKAGE.glob(f"{room}/**/*.py")]

    used = {path.name: rooms_used(tree_of(path)) - {room} - MAY_IMPORT[room] for path in files}

    assert used
    assert {name: rooms for name, rooms in used.items() if rooms} == {}


def test_every_room_is_on_the_map():
    rooms = {path.stem for path in PACKAGE.iterdir() if path.suffix == ".py" or path.is_dir()}

    assert rooms - {"__pycache__"} == set(MAY_IMPORT)


def test_the_map_itself_runs_one_way():
    order = list(TopologicalSorter(MAY_IMPORT).static_order())

    assert order[0] == "errors"
    assert order[-1] == "__main__"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_nothing_heavy_is_imported_at_the_top(path: Path):
    assert heavy(TopImports(tree_of(path)).names) == set()


def test_importing_every_module_loads_nothing_heavy():
    files = [path for path in MODULES if path.stem not in {"__init__", "__main__"}]
    names = [".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts) for path in files]
    code = f"import sys\nfor name in {names}: __import__(name)\nprint(*sys.modules)"

    loaded = subprocess.run([sys.executable, "-c", code], stdout=subprocess.PIPE, check=True)

    modules = set(loaded.stdout.decode().split())
    assert "winrate_tools.stats.records.intervals" in modules
    assert heavy(modules) == set()


@pytest.mark.parametrize(
    "code",
    [
        "import pandas as pd",
        "import scipy.stats",
        "from scipy import stats",
        "from pyarrow import csv",
        "try:\n    import pandas\nexcept ImportError:\n    pass",
        "class A:\n    import statsmodels.api",
        "if True:\n    import pandas",
    ],
)
def test_the_eye_for_heavy_imports_sees(code: str):
    assert heavy(TopImports(ast.parse(code)).names)


@pytest.mark.parametrize(
    "code",
    [
        "import scipy.special",
        "def f():\n    import pandas",
        "async def f():\n    import pandas",
        "if TYPE_CHECKING:\n    import pandas",
        "import pandas_like",
    ],
)
def test_the_eye_for_heavy_imports_lets_pass(code: str):
    assert not heavy(TopImports(ast.parse(code)).names)


@pytest.mark.parametrize(
    ("code", "rooms"),
    [
        ("from winrate_tools.stats.cards.many import expected_wrong", {"stats"}),
        ("def f():\n    import winrate_tools.report.words", {"report"}),
        ("from winrate_tools import settings", {"settings"}),
        ("from winrate_tools import rank", {"__init__"}),
        ("import winrate_tools", {"__init__"}),
        ("from winrate_tools import __version__", set()),
        ("import numpy", set()),
    ],
)
def test_the_eye_for_rooms_sees(code: str, rooms: set[str]):
    assert rooms_used(ast.parse(code)) == rooms
