"""One near miss, offered and never taken."""

import pytest

from winrate_tools.cli.suggest import did_you_mean, did_you_mean_file


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("baselin", "; did you mean 'baseline'?"),
        ("allowence", "; did you mean 'allowance'?"),
        ("zebra", ""),
        ("", ""),
    ],
)
def test_at_most_one_word_is_offered(word: str, hint: str):
    assert did_you_mean(word, ["baseline", "baselines", "allowance", "margin"]) == hint


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("crads.csv", "; did you mean 'cards.csv'?"),
        ("cards.cvs", "; did you mean 'cards.csv'?"),
        ("cards", "; did you mean 'cards.csv'?"),
        ("broken.csv", ""),
        ("x.csv", ""),
    ],
)
def test_an_ending_alone_makes_no_file_near(name: str, hint: str):
    assert did_you_mean_file(name, ["cards.csv", "ro2.csv", "decks.csv"]) == hint
    assert did_you_mean_file(name, []) == ""
