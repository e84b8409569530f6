"""What a table sees, for programs."""

import csv
import io
import json

from winrate_tools.decide.packs.packs import packs_seen
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.packs.packs_records import COLUMNS, card_row, packs_csv, packs_json
from winrate_tools.stats.packs.exposure import Draft
from winrate_tools.tables import Source

POOL = PoolTable(
    [
        *(PoolCard(f"Moth {n}", 2, "Wick", "common", "guest") for n in range(40)),
        PoolCard("=Ghost", 0),
    ]
)
SEEN = packs_seen(POOL, Draft(2, 1, 10))


def test_csv_reads_back_to_the_same_numbers():
    first, *_, ghost = csv.DictReader(io.StringIO(packs_csv(SEEN.cards)))
    card = SEEN.cards[0]

    assert list(first) == list(COLUMNS)
    assert [first[name] for name in COLUMNS[:6]] == [
        "Moth 0", "main", "Wick", "common", "guest", "2",
    ]  # fmt: skip
    assert float(first["chance_dealt"]) == card.now.dealt
    assert float(first["mean_dealt"]) == card.dealt.mean
    assert (first["dealt_low"], first["dealt_high"]) == ("0", "1")
    assert float(first["chance_seen"]) == card.now.seen
    assert float(first["seen_low"]) == card.now.seen_low
    assert float(first["seen_high"]) == card.now.seen_high
    assert float(first["dealt_one_fewer"]) == card.fewer.dealt
    assert float(first["seen_one_fewer"]) == card.fewer.seen
    assert float(first["dealt_one_more"]) == card.more.dealt
    assert float(first["seen_one_more"]) == card.more.seen
    assert ghost["card"] == "'=Ghost"
    assert (ghost["faction"], ghost["dealt_one_fewer"], ghost["seen_one_fewer"]) == ("", "", "")


def test_csv_without_cards_is_a_header():
    assert packs_csv([]) == f"{','.join(COLUMNS)}\n"


def test_json_holds_the_draft_the_slots_the_groups_and_the_cards():
    source = Source("pool.csv", "ab12", {"card": "Karte"})
    record = json.loads(packs_json(SEEN, SEEN.cards[:1], source, version="9.9"))

    assert record["version"] == "9.9"
    assert record["source"]["sha256"] == "ab12"
    assert record["draft"] == {"seats": 2, "packs": 1, "size": 10}
    assert record["is_enough"] is True
    assert (record["most_seats"], record["most_packs"]) == (8, 4)
    assert record["cards_passing"] == 19
    assert record["different_cards"] == SEEN.different._asdict()
    assert record["slots"][0]["steps"][1]["dealt"] == SEEN.slots[0].steps[1].dealt
    assert record["groups"][0]["dealt"] == SEEN.groups[0].dealt._asdict()
    assert record["cards"] == [card_row(SEEN.cards[0])]


def test_json_of_a_pool_too_small_says_so():
    short = packs_seen(POOL, Draft(5, 2, 10))
    record = json.loads(packs_json(short, short.cards, POOL.source, version="9.9"))

    assert record["is_enough"] is False
    assert record["different_cards"] is None
    assert record["cards"] == record["groups"] == []
