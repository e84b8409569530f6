"""Options in groups."""

import inspect
from dataclasses import dataclass, fields
from typing import Annotated

import pytest

from winrate_tools.cli import options
from winrate_tools.cli.signature import with_options


@dataclass(frozen=True)
class Size:
    height: Annotated[int, "how high"]
    width: int = 3


def test_a_group_becomes_options_and_comes_back_as_one_value():
    seen = []

    @with_options
    def command(name: str, size: Size, loud: bool = False) -> None:
        """Say a size."""
        seen.append((name, size, loud))

    command(name="page", height=4, width=5, loud=True)
    assert seen == [("page", Size(4, 5), True)]
    assert command.__doc__ == "Say a size."
    assert list(inspect.signature(command).parameters) == ["name", "height", "width", "loud"]
    assert (
        inspect.signature(command).parameters["height"].annotation == Annotated[int, "how high"]
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (options.Reading, options.Judging),
        (options.Reading, options.Output),
        (options.Judging, options.Output),
        (options.Configured, options.Output),
        (options.Configured, options.Judging),
    ],
)
def test_no_two_groups_share_an_option(one: type, other: type):
    names = [{field.name for field in fields(group)} for group in (one, other)]

    assert not names[0] & names[1]
