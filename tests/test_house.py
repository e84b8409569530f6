"""The habits of the house: sizes, names, a test beside every module, no stray words."""

import ast
import re
from pathlib import Path
from statistics import median, quantiles

import pytest

from winrate_tools.columns import (
    ARCHETYPE_COLUMNS,
    ARCHETYPE_ROLES,
    CANDIDATE_ROLES,
    CARD_ROLES,
    MATCH_ROLES,
    RANKING_COLUMNS,
)

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
PLACES = ("home", "root", "tmp", "opt", "mnt", "Users", "work")
MACHINE_PATH = re.compile(rf"(?<![\w.<*])/(?:{'|'.join(PLACES)})/\w")
UNFINISHED = re.compile(
    rf"\b(?:{'TO' + 'DO'}|{'FIX' + 'ME'}|{'NotImpl' + 'emented'}(?:Error)?)\b|^@[A-Z]+@$",
    re.MULTILINE,
)
EXCUSES = {"skip", "skipif", "importorskip", "x" + "fail"}


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
    lines = len(path.read_text(encoding="utf-8").splitlines())

    assert lines <= 300


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


@pytest.mark.parametrize("path", TEXTS, ids=short)
def test_no_text_names_a_place_on_a_machine_or_is_unfinished(path: Path):
    text = path.read_text(encoding="utf-8")

    assert MACHINE_PATH.findall(text) == []
    assert UNFINISHED.findall(text) == []


@pytest.mark.parametrize("path", TESTS, ids=short)
def test_no_test_is_skipped_or_expected_to_fail(path: Path):
    assert excuses(ast.parse(path.read_text(encoding="utf-8"))) == set()


def excuses(tree: ast.AST) -> set[str]:
    """Names of pytest that let a test off."""
    used = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    return used & EXCUSES


@pytest.mark.parametrize("excuse", sorted(EXCUSES))
def test_the_eye_for_excuses_sees(excuse: str):
    assert excuses(ast.parse(f"@pytest.mark.{excuse}\ndef test_a():\n    assert 1")) == {excuse}
    assert excuses(ast.parse(f"pytest.{excuse}('why')")) == {excuse}


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


@pytest.mark.parametrize("place", PLACES)
def test_the_eye_for_places_sees(place: str):
    assert MACHINE_PATH.findall(f"see /{place}/ann/cards.csv")
    assert MACHINE_PATH.findall(f"open('/{place}/x')")
    assert not MACHINE_PATH.findall(f"docs/{place}/page, https://example.org/{place}/page")
    assert not MACHINE_PATH.findall(f"wins / {place} / games")


def test_the_top_level_holds_what_was_agreed():
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").split()
    names = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}

    extra = {name for name in names - TOP_LEVEL if f"{name}/" not in ignored}
    assert {name for name in extra if not name.endswith(".egg-info")} == set()
    assert {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"} <= names


COLUMNS = {
    **CARD_ROLES,
    **RANKING_COLUMNS,
    **ARCHETYPE_ROLES,
    **ARCHETYPE_COLUMNS,
    **CANDIDATE_ROLES,
    **MATCH_ROLES,
}


@pytest.mark.parametrize("name", sorted(COLUMNS))
def test_the_readme_explains_every_column(name: str):
    rows = [
        line for line in DOCUMENTS[0].read_text(encoding="utf-8").splitlines() if "|" in line
    ]

    assert [row for row in rows if f"`{name}`" in row]


@pytest.mark.parametrize("room", sorted({path.parent.name for path in MODULES}))
def test_the_developers_page_shows_every_room(room: str):
    assert f"{room}/" in DOCUMENTS[1].read_text(encoding="utf-8")
