"""One near miss, offered and never taken."""

import pytest

from winrate_tools.cli.suggest import did_you_mean


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
