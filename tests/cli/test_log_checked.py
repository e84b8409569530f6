"""How a game log is understood, in words and for programs."""

import json

from winrate_tools.cli.log_checked import log_columns, log_document, log_json
from winrate_tools.ingest.logs.log_head import LogInspection, inspect_log


def inspected(folder, text: str) -> LogInspection:
    (folder / "log.csv").write_text(text)
    return inspect_log(str(folder / "log.csv"))


def test_columns_are_listed_in_their_order_with_their_first_cells(tmp_path):
    found = inspected(tmp_path, "won,game,cards\nyes,1,Fox|Moth\nyes,2,Fox\nno,3,Moth|Fox\n")

    assert [tuple(one.values()) for one in log_columns(found)] == [
        ("won", 1, "won", "yes, no"),
        ("game", 2, "game", "1, 2, 3"),
        ("cards", 3, "cards", "Fox|Moth, Fox, Moth|Fox"),
    ]


def test_a_document_says_the_layout_and_shows_problems(tmp_path):
    good = log_document(inspected(tmp_path, "game,won,card\n1,yes,Fox\n1,yes,Moth\n"))
    bad = log_document(inspected(tmp_path, "game,won,card\n1,yes,Fox\n1,what,Moth\n"))

    assert [section.title for section in good.sections] == ["How it was read", "Columns"]
    assert good.sections[0].blocks[0].items[1].text == "a row for each card of a game."
    assert good.sections[0].blocks[0].items[2].text == "the first 2 were looked at."
    assert "log.csv:3:2" in bad.sections[2].blocks[0].text


def test_programs_are_told_the_same(tmp_path):
    found = inspected(tmp_path, "game,won,Fox,Moth\n1,yes,1,0\n2,no,0,1\n")
    told = json.loads(log_json(found))

    assert (told["kind"], told["layout"], told["card_columns"]) == ("log", "wide", 2)
    assert [one["role"] for one in told["assignments"]] == ["game", "won"]
    assert told["problems"] == []
    assert told["source"]["notes"] == ["2 columns were taken for cards, from 'Fox' to 'Moth'"]
