"""What the package stands on: nothing that is not declared, under licences that are told."""

import ast
import re
import sys
import tomllib
from importlib.metadata import metadata
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted((ROOT / "winrate_tools").rglob("*.py"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
OPTIONAL = [each for extra in PROJECT["optional-dependencies"].values() for each in extra]
DECLARED = [*PROJECT["dependencies"], *OPTIONAL]
LICENCES = (
    (ROOT / "DEVELOPERS.md")
    .read_text(encoding="utf-8")
    .partition("\n## Dependencies\n")[2]
    .partition("\n## ")[0]
)
FAMILIES = {
    "BSD": "BSD", "MIT": "MIT", "Apache": "Apache", "PSF": "PSF", "Zlib": "Zlib", "CC0": "CC0",
    "Python Software Foundation": "PSF",
}  # fmt: skip
"""Words of licences that ask for nothing but that they are passed on, to their families."""
BROUGHT = {"polars"}
"""What only those use who have it: a frame of its kind is made on demand."""
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

    known = {*sys.stdlib_module_names, "winrate_tools", *BROUGHT, *map(name_of, DECLARED)}
    assert found <= known


@pytest.mark.parametrize("requirement", DECLARED)
def test_every_requirement_states_the_oldest_version_that_is_known_to_work(requirement: str):
    assert re.fullmatch(r"[\w.-]+>=\d+(\.\d+)*", requirement)


def families(text: str) -> set[str]:
    """Families of the licences that a text names; a part that names none stands for itself."""
    parts = [part.strip() for part in re.split(r" AND | OR |,| and | WITH ", text)]
    return {
        next((family for word, family in FAMILIES.items() if word in part), part)
        for part in parts
    }


def licence(package: str) -> str:
    """The licence of an installed package, by its own metadata."""
    told = metadata(package)
    classes = [each for each in told.get_all("Classifier") or [] if each.startswith("License")]
    named = [each.rpartition(":: ")[2].removesuffix(" License") for each in classes]
    return told["License-Expression"] or ",".join(named) or "none"


@pytest.mark.parametrize("requirement", DECLARED)
def test_the_licence_that_is_told_is_the_one_that_a_package_has(requirement: str):
    name = re.split(r"[^\w.-]", requirement)[0]
    told = re.search(rf"\b{name} \(?([^;)\n]+)", LICENCES)

    assert told is not None
    assert families(licence(name)) <= families(told[1])
    assert families(licence(name)) <= set(FAMILIES.values())


def test_a_licence_that_asks_for_more_is_seen():
    assert families("MIT AND GPL-3.0-or-later") == {"MIT", "GPL-3.0-or-later"}
    assert families("BSD-3-Clause, 0BSD, MIT and Zlib parts") == {"BSD", "MIT", "Zlib"}
