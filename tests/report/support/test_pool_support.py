"""What a pool, or a list of candidates, can and cannot support."""

from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable
from winrate_tools.report.support.pool_support import candidate_support, pool_support
from winrate_tools.tables import Source

RICH = PoolCard("Ash Vine", 3, "Wick", "rare", "tool", 0.4, True, archetypes=("Kites", "Moths"))
PLAIN = PoolCard("Tin Moth", 1)


def pool(*cards: PoolCard) -> dict[str, str]:
    return {entry.lead: entry.text for entry in pool_support(PoolTable(cards))}


def candidates(*rows: Candidate) -> dict[str, str]:
    return {entry.lead: entry.text for entry in candidate_support(CandidateTable(rows))}


def test_a_rich_pool_is_told_what_it_can_do():
    assert pool(RICH) == {
        "Size": "1 card, 3 with copies, all for the main slots of a pack.",
        "Labels": "faction, rarity, role of all: a plan can keep the counts of each.",
        "Prices": "of all; with their copies they come to 1.20.",
        "Protected": "1 card never to be cut.",
        "Archetypes": "1 card name what they support: Kites, Moths.",
    }


def test_a_plain_pool_is_told_what_it_cannot():
    said = pool(PLAIN, PoolCard("Elk", 2, "Wick"))

    assert said["Labels"] == (
        "no card has a rarity or a role; faction of 1 unknown: a plan cannot keep counts of "
        "what it does not know."
    )
    assert said["Prices"] == "none: a plan cannot keep to a budget."
    assert said["Protected"] == (
        "nothing says which cards are never to be cut: a plan may cut any."
    )
    assert said["Archetypes"].startswith("none are named")


def test_a_column_in_which_no_card_is_protected_counts():
    source = Source(roles={"protected": "Locked"})
    said = {one.lead: one.text for one in pool_support(PoolTable([PLAIN], source))}

    assert said["Protected"] == "0 cards never to be cut."


def test_cards_without_copies_are_told_apart():
    said = pool(RICH, PoolCard("Elk", 0), PoolCard("Owl", 0))["Size"]

    assert said == (
        "1 card, 3 with copies (2 more listed with 0 copies), all for the main slots of a pack."
    )


def test_prices_of_some_are_said_to_be_of_some():
    assert pool(RICH, PLAIN)["Prices"] == "of 1 of 2; with their copies they come to 1.20."


def test_a_card_for_nothing_costs_nothing():
    assert "come to 1.20" in pool(RICH, PoolCard("Elk", 5, price=0.0))["Prices"]


def test_slots_are_counted_with_copies():
    said = pool(RICH, PLAIN, PoolCard("Lamp", 2, slot="lantern"))

    assert said["Size"] == "3 cards, 6 with copies: 4 in slot main, 2 in slot lantern."


def test_records_and_guesses_are_counted():
    said = candidates(
        Candidate(RICH, 90, 50, 0.5),
        Candidate(PLAIN, 1500, 800, 0.548),
        Candidate(PoolCard("Elk", 1), guess="like"),
        Candidate(PoolCard("Fox", 1), 400, 200, 0.52, "weaker"),
    )

    assert said["Evidence"] == (
        "4 candidates, 3 with a record; the middle one has 400 games; 2 with a guess, which is "
        "as unsure as the pool is wide unless its spread is given."
    )
    assert said["Baselines"].startswith("an average card won 50.0% to 54.8% where the records")
    assert said["Prices"].startswith("of 1 of 4")


def test_guesses_alone_need_no_baseline():
    said = candidates(Candidate(PLAIN, guess="like"))

    assert said["Evidence"].startswith("1 candidate, 1 with a guess, which")
    assert said["Baselines"] == "none are needed without records."


def test_records_alone_speak_of_no_guess():
    said = candidates(Candidate(PLAIN, 90, 50, 0.5))

    assert said["Evidence"] == "1 candidate, 1 with a record; the middle one has 90 games."
    assert said["Baselines"].startswith("an average card won 50.0% where")
