"""The habits of the house: sizes, names, a test beside every module, no stray words."""

import ast
import re
from pathlib import Path
from statistics import median, quantiles

import pytest

from winrate_tools.columns import CARD_ROLES, RANKING_COLUMNS

ROOT = Path(__file__).parent.parent
MODULES = sorted((ROOT / "winrate_tools").rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("test_*.py"))
DOCUMENTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md"]
TEXTS = [*MODULES, *TESTS, *DOCUMENTS, ROOT / "pyproject.toml", ROOT / ".ci" / "run"]
DRAWERS = {"utils", "util", "helpers", "common", "misc", "core", "base", "manager", "tools"}
TOP_LEVEL = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE",
    "winrate_tools", "tests", "sample_data", "reports",
}  # fmt: skip
MACHINE_PATH = re.compile(r"(?<![\w.<*])/(?:home|root|tmp|opt|mnt|Users|work)/\w")
UNFINISHED = re.compile(r"\b(?:TODO|FIXME|XXX|NotImplemented(?:Error)?)\b")
SKIPPED = re.compile(r"\bpytest\.(?:mark\.)?(?:skip|skipif|xfail|importorskip)\b")


def short(path: Path) -> str:
    return str(path.relative_to(ROOT))


def functions(path: Path) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    kinds = ast.FunctionDef | ast.AsyncFunctionDef
    return [node for node in ast.walk(tree) if isinstance(node, kinds)]


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    body = function.body[1:] if ast.get_docstring(function) else function.body
    return body[-1].end_lineno - body[0].lineno + 1 if body else 0


SIZES = {
    f"{short(path)}:{function.name}": body_lines(function)
    for path in MODULES
    for function in functions(path)
}


@pytest.mark.parametrize("path", MODULES, ids=short)
def test_a_module_has_at_most_300_lines(path: Path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 300


def test_no_function_has_more_than_50_lines():
    assert SIZES
    assert {name: lines for name, lines in SIZES.items() if lines > 50} == {}


def test_half_of_the_functions_have_at_most_8_lines_and_nine_in_ten_at_most_30():
    assert median(SIZES.values()) <= 8
    assert quantiles(SIZES.values(), n=10)[-1] <= 30


@pytest.mark.parametrize("path", [*MODULES, *TESTS], ids=short)
def test_a_file_is_a_room_and_not_a_drawer(path: Path):
    assert path.stem.removeprefix("test_").strip("_") not in DRAWERS
    assert path.parent.name not in DRAWERS


@pytest.mark.parametrize(
    "path",
    [
        path
        for path in MODULES
        if not path.stem.startswith("__")
        and len(path.read_text(encoding="utf-8").splitlines()) > 15
    ],
    ids=short,
)
def test_a_module_has_a_test_file_of_its_name_in_its_room(path: Path):
    room = path.parent.relative_to(ROOT / "winrate_tools")

    assert (ROOT / "tests" / room / f"test_{path.stem}.py").exists()


@pytest.mark.parametrize("path", sorted({*TEXTS} - {Path(__file__)}), ids=short)
def test_no_text_names_a_place_on_a_machine_or_is_unfinished(path: Path):
    text = path.read_text(encoding="utf-8")

    assert MACHINE_PATH.findall(text) == []
    assert UNFINISHED.findall(text) == []


@pytest.mark.parametrize("path", TESTS, ids=short)
def test_no_test_is_skipped_or_expected_to_fail(path: Path):
    assert SKIPPED.findall(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("path", TESTS, ids=short)
def test_every_test_can_fail(path: Path):
    tests = [function for function in functions(path) if function.name.startswith("test_")]

    silent = [test.name for test in tests if not claims(test)]
    assert tests
    assert silent == []


def claims(test: ast.AST) -> bool:
    """Whether a test asserts, expects an error, or hands over to a check by name."""
    calls = [ast.unparse(node.func) for node in ast.walk(test) if isinstance(node, ast.Call)]
    return any(isinstance(node, ast.Assert) for node in ast.walk(test)) or any(
        re.search(r"pytest\.(raises|warns)|\bassert_|\bexpect_|\bcheck_", call)
        for call in calls
    )


@pytest.mark.parametrize(
    ("code", "claim"),
    [
        ("def test_a():\n    f() == 1", False),
        ("def test_a():\n    print(f())", False),
        ("def test_a():\n    assert f() == 1", True),
        ("def test_a():\n    with pytest.raises(ValueError):\n        f()", True),
        ("def test_a():\n    check_order(f())", True),
    ],
)
def test_the_eye_for_claims_sees(code: str, claim: bool):
    assert claims(ast.parse(code)) == claim


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("see /home/ann/cards.csv", 1),
        ("'/tmp/x'", 1),
        ("#!/usr/bin/env bash", 0),
        ("docs/home/page", 0),
        ("https://example.org/home/page", 0),
        ("wins / games", 0),
    ],
)
def test_the_eye_for_places_sees(text: str, places: int):
    assert len(MACHINE_PATH.findall(text)) == places


def test_the_top_level_holds_what_was_agreed():
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").split()
    names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    extra = {name for name in names - TOP_LEVEL if f"{name}/" not in ignored}
    assert {name for name in extra if not name.endswith(".egg-info")} == set()
    assert {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"} <= names


@pytest.mark.parametrize("name", sorted(CARD_ROLES.keys() | RANKING_COLUMNS.keys()))
def test_the_readme_explains_every_column(name: str):
    rows = [
        line for line in DOCUMENTS[0].read_text(encoding="utf-8").splitlines() if "|" in line
    ]

    assert [row for row in rows if f"`{name}`" in row]


@pytest.mark.parametrize("room", sorted({path.parent.name for path in MODULES}))
def test_the_developers_page_shows_every_room(room: str):
    assert f"{room}/" in DOCUMENTS[1].read_text(encoding="utf-8")
