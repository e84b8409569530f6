"""The options by which a table is read."""

import pytest

from winrate_tools.ingest.tables import cards
from winrate_tools.ingest.tables.reading import with_known_options
from winrate_tools.ingest.tally_logs import tally_logs


def test_who_brings_the_option_of_the_command_line_is_told_that_of_the_library():
    with pytest.raises(TypeError, match=r'no option \'map\'.* by columns={"games": "Plays"}'):
        cards.read_cards(b"", map={"games": "Plays"})


def test_a_table_however_large_is_read_with_options_that_there_are(monkeypatch):
    monkeypatch.setattr(cards, "is_large", lambda _: True)

    with pytest.raises(TypeError, match="there is no option 'skip_bat' for reading a table"):
        cards.read_cards("big.csv", skip_bat=True)


def test_a_count_of_logs_names_its_own_options():
    with pytest.raises(TypeError) as caught:
        tally_logs(["log.csv"], map={"won": 1})

    assert "there are columns, skill_cuts, skip_bad, progress, cache, each. " in str(
        caught.value
    )


def test_what_may_stand_first_may_be_named_too():
    @with_known_options
    def read(source: str, *, decimal: str = ".") -> str:
        return source + decimal

    assert read(source="cards", decimal=",") == "cards,"
    with pytest.raises(TypeError, match=r"no option .name. .* there are decimal"):
        read("cards", name="mine")
