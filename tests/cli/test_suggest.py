"""One near miss, offered and never taken."""

from pathlib import Path

import pytest

from winrate_tools.cli.suggest import astray, did_you_mean, did_you_mean_file


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


def test_a_file_is_never_offered_for_itself():
    assert did_you_mean_file("cards.csv", ["cards.csv"]) == ""
    assert did_you_mean_file("cards.csv", ["cards.csv", "card.csv"]) == (
        "; did you mean 'card.csv'?"
    )


def test_a_link_that_leads_to_no_file_is_told_from_one_that_does(tmp_path: Path):
    links = {
        "self": "self",
        "ring": "gnir",
        "gnir": "ring",
        "gone": "none.csv",
        "good": "a.csv",
    }
    for link, to in links.items():
        (tmp_path / link).symlink_to(to)
    (tmp_path / "a.csv").touch()

    told = {name: astray(tmp_path / name) for name in (*links, "a.csv", "none.csv")}
    assert told == {
        "self": "it is a link that leads to itself",
        "ring": "it is a link that leads to itself",
        "gnir": "it is a link that leads to itself",
        "gone": "it is a link to 'none.csv', and nothing is there",
        "good": "",
        "a.csv": "",
        "none.csv": "",
    }


def test_a_link_into_what_may_not_be_read_is_not_judged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    (tmp_path / "link").symlink_to("a.csv")

    def refused(_path: Path) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr(Path, "is_symlink", lambda _path: True)
        patched.setattr(Path, "stat", refused)
        said = astray(tmp_path / "link")

    assert said == ""
