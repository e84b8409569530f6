"""What the package stands on: nothing that is not declared."""

import ast
import re
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "winrate_tools").rglob("*.py"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
OPTIONAL = [each for extra in PROJECT["optional-dependencies"].values() for each in extra]
DECLARED = [*PROJECT["dependencies"], *OPTIONAL]
IMPORTED_AS = {"python-calamine": "python_calamine"}


def name_of(requirement: str) -> str:
    name = re.split(r"[^\w.-]", requirement)[0]
    return IMPORTED_AS.get(name, name)


def imported(tree: ast.AST) -> set[str]:
    """Packages that a module may import, at its top or later."""
    nodes = list(ast.walk(tree))
    plain = {
        alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names
    }
    given = {str(node.module) for node in nodes if isinstance(node, ast.ImportFrom)}
    return {name.partition(".")[0] for name in plain | given}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.stem)
def test_a_module_imports_only_what_is_declared(path: Path):
    found = imported(ast.parse(path.read_text(encoding="utf-8")))

    known = {*sys.stdlib_module_names, "winrate_tools", *map(name_of, DECLARED)}
    assert found <= known


@pytest.mark.parametrize("requirement", DECLARED)
def test_every_requirement_states_the_oldest_version_that_is_known_to_work(requirement: str):
    assert re.fullmatch(r"[\w.-]+>=\d+(\.\d+)*", requirement)
