"""Where a key stands in a TOML file."""

import pytest

from winrate_tools.cli.toml_places import place_of

TEXT = """# margin = 1
top = 1
[mapping."a1"]
margin = "Plays"
[settings] # mine
sure = 0.9
  "margin" = 2
"""


@pytest.mark.parametrize(
    ("table", "key", "place"),
    [
        ("settings", "margin", (7, 3)),
        ("settings", "sure", (6, 1)),
        ("", "top", (2, 1)),
        ("", "settings", (5, 2)),
        ("", "mapping", (3, 2)),
        ("settings", "absent", (1, 1)),
    ],
)
def test_a_key_is_found_under_its_own_table(table: str, key: str, place: tuple[int, int]):
    assert place_of(TEXT, table, key) == place


def test_a_dotted_key_is_found():
    assert place_of("x = 1\nsettings.margin = 2\n", "settings", "margin") == (2, 1)
    assert place_of("x = 1\nsettings.margin = 2\n", "", "settings") == (2, 1)
