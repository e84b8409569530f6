"""The public face: each name has an example, and costs nothing until it is used."""

import doctest
import inspect
import subprocess
import sys
from importlib import import_module

import pytest

import winrate_tools
from winrate_tools.ingest.tables.reading import Reading

PUBLIC = sorted(winrate_tools.__all__)
FUNCTIONS = [name for name in PUBLIC if name[0].islower()]


def docstring(name: str) -> str:
    return inspect.getdoc(getattr(winrate_tools, name)) or ""


def test_every_name_has_one_home():
    homes = [name for names in winrate_tools._HOMES.values() for name in names]

    assert sorted(homes) == PUBLIC
    assert dir(winrate_tools) == PUBLIC


@pytest.mark.parametrize("name", PUBLIC)
def test_a_name_is_that_of_its_home(name: str):
    home = next(home for home, names in winrate_tools._HOMES.items() if name in names)
    module = import_module(f"winrate_tools.{home}")

    assert getattr(winrate_tools, name) is getattr(module, name)
    assert getattr(winrate_tools, name).__module__ == module.__name__


def test_a_name_that_is_none_is_refused():
    with pytest.raises(AttributeError, match="module 'winrate_tools' has no attribute 'rnak'"):
        _ = winrate_tools.rnak


@pytest.mark.parametrize("name", PUBLIC)
def test_every_public_name_has_an_example(name: str):
    assert doctest.DocTestParser().get_examples(docstring(name)) != []


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_function_explains_what_it_takes_gives_and_refuses(name: str):
    said = docstring(name)
    heads = ["Parameters\n---", "Returns\n---", "Raises\n---"]

    assert [head for head in heads if head not in said] == []
    parameters = inspect.signature(getattr(winrate_tools, name)).parameters
    assert [one for one in parameters if one not in said and one != "reading"] == []


@pytest.mark.parametrize("option", Reading.__annotations__)
def test_reading_cards_explains_every_option_of_reading(option: str):
    assert f"\n{option} : " in docstring("read_cards")


def test_importing_the_package_loads_nothing_of_it():
    code = "import sys, winrate_tools; print(*[m for m in sys.modules if 'winrate' in m])"
    done = subprocess.run([sys.executable, "-c", code], stdout=subprocess.PIPE, check=True)

    assert done.stdout.decode().split() == ["winrate_tools"]
