"""A plan in words."""

from dataclasses import replace

from tests.report.plans import EMPTY, FULL, INTO, MORE, OUT, plan
from winrate_tools.decide.plan.moves import Staying
from winrate_tools.report.document import Section, Table
from winrate_tools.report.forms import markdown, text
from winrate_tools.report.plan.plan_sections import plan_report

BANNED = ("significant", "p-value", "confidence interval", "null")


def sections(of=FULL) -> dict[str, Section]:
    return {section.title: section for section in plan_report(of, "pool.csv").sections}


def said(title: str, of=FULL) -> str:
    return markdown.render(plan_report(of, "p")._replace(sections=(sections(of)[title],)))


def test_a_plan_is_told_in_the_order_of_its_reading():
    assert plan_report(FULL, "pool.csv").title == "Plan for pool.csv"
    assert list(sections()) == [
        "",
        "What goes out",
        "What comes in",
        "Swap by swap",
        "What the archetypes are forecast to do",
        "What holds it back",
        "How to read this",
    ]


def test_the_summary_counts_copies_money_and_weak_cards():
    text = said("")

    assert "4 cards out and 4 in, copies counted: the pool has 6 cards afterwards." in text
    assert "What comes in costs 3.75, as far as prices go." in text
    assert (
        "A card is weak below 49.0%. If a draft deals 30 cards (the share dealt, under "
        "\\[goals\\]), about 9 (8 in 10 range: 7 to 13) of them are weak now, and about 6 (8 "
        "in 10 range: 4 to 8) will be." in text
    )
    assert "as far as" not in said("", plan(OUT, INTO))


def test_costs_are_left_out_where_no_price_is_known():
    unpriced = plan(OUT, replace(INTO, cost=None), MORE, cost=0.0)
    [into] = sections(unpriced)["What comes in"].blocks

    assert "costs" not in said("", unpriced)
    assert "Cost" not in [column.heading for column in into.columns]
    assert "What comes in costs 0.00." in said("", plan(OUT, replace(INTO, cost=0.0), cost=0.0))


def test_tables_say_what_moves_how_sure_that_is_and_why():
    [out] = sections()["What goes out"].blocks
    [into] = sections()["What comes in"].blocks

    assert isinstance(out, Table)
    assert isinstance(into, Table)
    assert [column.heading for column in out.columns] == [
        *("Card", "Copies", "Faction", "Role", "Rarity", "Estimate", "8 in 10 range"),
        *("Below 49.0%", "Choice holds", "Why"),
    ]
    assert out.rows[0] == (
        *("Ash Vine", "3 to 0", "Cog", "tool", "common", "47.1%", "46.0 to 48.99%"),
        *("19 in 20", "16 in 20", "trap, unplayed"),
    )
    assert out.rows[1][2:5] == ("", "", "")
    assert [row[-2:] for row in into.rows] == [("3.75", "sound, helps Kites"), ("?", "fits in")]


def test_every_swap_is_told():
    assert "- **Ash Vine for Fog Horn**: 3 copies; same faction and rarity; 19" in said(
        "Swap by swap"
    )
    assert "Swap by swap" not in sections(replace(FULL, swaps=()))


def test_forecasts_carry_ranges_and_say_how_far_to_trust_them():
    text = said("What the archetypes are forecast to do")

    assert (
        "| Kites | 47.0% | 46.0 to 48.0% | 48.2% | 46.5 to 49.9% | +1.2 (0.0 to +2.4) |" in text
    )
    assert "16 in 20" in text
    assert "0.65 points either way: a judgement from our own simulated drafts" in text
    assert "What the archetypes are forecast to do" not in sections(replace(FULL, outcomes=()))


def test_what_holds_it_back_is_said():
    text = said("What holds it back")

    assert (
        "Counts by faction and rarity stay as they are. Limits reached: budget (3.75 of 4); "
        "copies that go out (4 of 4)." in text
    )
    assert "Without games, and so left as they are: Silk Kite." in text
    assert (
        "not in the pool: old 0, old 1, old 2, old 3, old 4, old 5, old 6, old 7 and 1" in text
    )
    assert "Candidates that are in the pool" not in text


def test_a_plan_that_nothing_holds_back_says_so():
    free = replace(FULL, bounds=(), kept=(), unknown=(), elsewhere=(), in_pool=("Moth",))

    text = said("What holds it back", free)

    assert "\n\nLimits reached: none.\n" in text
    assert "in the pool already: Moth." in text


def test_the_reasons_that_occur_are_explained_and_no_others():
    text = said("How to read this")

    assert "- **Trap**: weak, yet drafters take it early" in text
    assert "- **Helps an archetype**: a card that an underpowered archetype plays" in text
    assert "made again for 60 states of things" in text
    assert "Makes room" not in text


def test_where_nothing_is_worth_changing_there_is_advice():
    text = markdown.render(plan_report(EMPTY, "pool.csv"))

    assert "Nothing is worth changing" in text
    assert "other candidates" in text
    assert "about 9" in text
    assert "What goes out" not in text


def test_a_floor_without_weak_cards_is_not_told():
    sound = replace(EMPTY, floor=replace(EMPTY.floor, before=0.0))

    assert "dealt" not in markdown.render(plan_report(sound, "pool.csv"))


def test_no_word_that_readers_should_not_need():
    text = markdown.render(plan_report(FULL, "pool.csv")).lower()

    assert [word for word in BANNED if word in text] == []


def test_a_plan_can_be_read_on_a_terminal_too():
    assert "Ash Vine" in text.render(plan_report(FULL, "pool.csv"))


def test_labels_that_no_moved_card_has_get_no_column():
    bare = replace(OUT, card=replace(OUT.card, role=None, rarity=None))
    plain = replace(INTO, card=replace(INTO.card, role=None, rarity=None))

    [table] = sections(plan(bare, plain))["What goes out"].blocks

    assert isinstance(table, Table)
    assert [column.heading for column in table.columns][:4] == [
        *("Card", "Copies", "Faction", "Estimate"),
    ]


def test_warnings_follow_the_forecasts_and_cards_that_stay_the_limits():
    outcome = replace(FULL.outcomes[0], crosses="above", chance_beyond=0.6, line=0.52)
    stays = replace(FULL, outcomes=(outcome,), staying=(Staying("Moth", True),))

    assert "Careful: would then lie above the upper line of 52.0%: Kites (12 in 20)." in said(
        "What the archetypes are forecast to do", stays
    )
    assert "Called cut and staying, since they are protected: Moth." in said(
        "What holds it back", stays
    )
    assert "Called cut and staying" in said("", replace(EMPTY, staying=stays.staying))
