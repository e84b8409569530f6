"""What a plan is to reach and to keep to."""

from dataclasses import fields
from math import inf

import numpy as np
import pytest

from winrate_tools.errors import SettingError
from winrate_tools.goals import (
    GOAL_MEANINGS,
    WEIGHTS,
    Goals,
    Quota,
    read_copies,
    read_kept,
    read_quotas,
)


def test_every_goal_has_its_meaning():
    assert set(GOAL_MEANINGS) == {field.name for field in fields(Goals)}


@pytest.mark.parametrize("name", WEIGHTS)
def test_weights_are_not_negative(name: str):
    assert getattr(Goals(**{name: 0}), name) == 0
    for wrong in (-0.01, inf, float("nan")):
        with pytest.raises(SettingError, match=f"^{name} must be from 0, got "):
            Goals(**{name: wrong})


@pytest.mark.parametrize(
    ("goal", "message"),
    [
        ({"changes": -1}, "changes must be at least 0, got -1"),
        ({"size": 0}, "size must be at least 1, got 0"),
        ({"box_cards": 0}, "box_cards must be at least 1, got 0"),
        ({"slack": -1}, "slack must be at least 0, got -1"),
        ({"resolves": 0}, "resolves must be at least 1, got 0"),
        ({"budget": -0.5}, "budget must be from 0, got -0.5"),
        ({"budget": "12,50"}, "budget must be a number or None, without quotes, got '12,50'"),
        *(
            ({name: "3"}, f"{name} must be a number, without quotes, got '3'")
            for name in (*WEIGHTS, "dealt")
        ),
        *(
            ({name: "3"}, f"{name} must be a number or None, without quotes, got '3'")
            for name in ("budget", "box_length", "card_thickness")
        ),
        *(
            ({name: "3"}, f"{name} must be a whole number or None, without quotes, got '3'")
            for name in ("changes", "size", "box_cards")
        ),
        *(
            ({name: wrong}, f"{name} must be a whole number, got {wrong}")
            for name in ("slack", "resolves")
            for wrong in (2.5, None, True)
        ),
        ({"changes": 2.5}, "changes must be a whole number or None, got 2.5"),
        ({"lift": None}, "lift must be a number, got None"),
        ({"whole": 1}, "whole must be True or False, got 1"),
        ({"keep": 3}, "keep must be a list of 'faction' or 'rarity' or 'role', got 3"),
        ({"keep": "role"}, "keep must be a list of 'faction' or 'rarity' or 'role', got 'r"),
        ({"quotas": "x"}, "quotas must be a list of Quota, got 'x'"),
        ({"quotas": [("role", "guest")]}, "quotas must be a list of Quota, got ('role', 'g"),
        ({"quotas": None}, "quotas must be a list of Quota, got None"),
        ({"copies": 3}, "copies must be a list of pairs of text and a whole number, got 3"),
        ({"copies": {"rare": 3}}, "copies must be a list of pairs of text and a whole numb"),
        ({"copies": ("rare", 3)}, "copies must be a list of pairs of text and a whole numb"),
        ({"copies": (("rare", "3"),)}, "copies must be a list of pairs of text and a whole"),
        (
            {"copies": (("rare", 3), ("rare", 3, 1))},
            "copies must be a list of pairs of text and a whole number, got ('rare', 3, 1) am",
        ),
        ({"dealt": 0}, "dealt must be above 0 and at most 1, got 0"),
        ({"dealt": 1.01}, "dealt must be above 0 and at most 1, got 1.01"),
        ({"keep": ("colour",)}, "keep must be of faction, rarity, role, got 'colour'"),
        ({"copies": (("rare", 0),)}, "copies of rare must be at least 1, got 0"),
        ({"box_length": 90}, "box_length must be given together with card_thickness, got it "),
        ({"card_thickness": 1}, "card_thickness must be given together with box_length"),
        (
            {"box_length": 0, "card_thickness": 1},
            "box_length must be above 0 millimetres, got 0",
        ),
        (
            {"box_length": 9, "card_thickness": 0},
            "card_thickness must be above 0 millimetres, got 0",
        ),
    ],
)
def test_a_goal_out_of_its_bounds_is_refused(goal: dict, message: str):
    with pytest.raises(SettingError) as caught:
        Goals(**goal)

    assert str(caught.value).startswith(message)


def test_bounds_themselves_are_fine():
    goals = Goals(changes=0, size=1, box_cards=1, slack=0, budget=0, dealt=1, keep=())

    assert goals.capacity == 1


def test_lists_are_kept_as_tuples_and_any_whole_numbers_do():
    quota = Quota("role", "guest", np.int64(60))
    given = Goals(
        keep=["role"], quotas=[quota], copies=[["rare", np.int64(2)]], size=np.int64(9)
    )

    assert given == Goals(keep=("role",), quotas=(quota,), copies=(("rare", 2),), size=9)
    assert hash(given)
    assert Goals(whole=np.True_).whole


@pytest.mark.parametrize(
    ("goals", "capacity"),
    [
        (Goals(), None),
        (Goals(box_cards=400), 400),
        (Goals(box_length=300, card_thickness=0.6), 500),
        (Goals(box_length=300, card_thickness=0.65), 461),
        (Goals(box_cards=400, box_length=300, card_thickness=0.65), 400),
        (Goals(box_cards=900, box_length=300, card_thickness=0.65), 461),
        (Goals(box_length=0.3, card_thickness=0.1), 3),
    ],
)
def test_a_box_holds_what_its_tighter_bound_allows(goals: Goals, capacity: int | None):
    assert goals.capacity == capacity


@pytest.mark.parametrize(
    ("text", "quotas"),
    [
        ("role guest 60-80", (Quota("role", "guest", 60, 80),)),
        ("Faction Cog -40;", (Quota("faction", "Cog", None, 40),)),
        (
            "archetype Honey & Thyme 40- ; rarity very rare 0-3",
            (Quota("archetype", "Honey & Thyme", 40), Quota("rarity", "very rare", 0, 3)),
        ),
        ("", ()),
    ],
)
def test_quotas_are_read_as_people_write_them(text: str, quotas: tuple[Quota, ...]):
    assert read_quotas(text) == quotas


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("guest 60-80", "quotas must be such as 'role guest 60-80' or 'faction Cog 40-'"),
        ("role guest 60", "quotas must be such as"),
        ("role guest a-b", "quotas must be such as"),
        ("colour red 1-2", "a quota's label must be faction or rarity or role or archetype"),
        ("role guest 80-60", "role guest must be LOW-HIGH, LOW- or -HIGH, from 0, got 80-60"),
        ("role guest -", "role guest must be LOW-HIGH, LOW- or -HIGH, from 0, got -"),
    ],
)
def test_a_quota_that_nobody_understands_is_refused(text: str, message: str):
    with pytest.raises(SettingError) as caught:
        read_quotas(text)

    assert str(caught.value).startswith(message)


def test_a_quota_needs_a_name_and_counts_from_none():
    with pytest.raises(SettingError, match="for a named label, got a blank name"):
        Quota("role", " ", 1)
    with pytest.raises(SettingError, match="from 0, got -1-3"):
        Quota("role", "guest", -1, 3)
    with pytest.raises(SettingError, match=r"^high must be a whole number or None, got 2\.5$"):
        Quota("role", "guest", 1, 2.5)


def test_copies_are_read_by_rarity():
    assert read_copies("common 3, very rare 1,") == (("common", 3), ("very rare", 1))
    for wrong in ("common", "3", "common three"):
        with pytest.raises(SettingError, match="copies must be such as 'common 3, rare 1'"):
            read_copies(wrong)


def test_kept_labels_are_read_in_their_own_order():
    assert read_kept("Role, faction") == ("faction", "role")
    assert read_kept("none") == ()
    for wrong in ("colour", "none, role"):
        with pytest.raises(SettingError, match="of faction, rarity, role, or none"):
            read_kept(wrong)
