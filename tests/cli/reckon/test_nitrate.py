"""``reckon nitrate`` fits production and plans the change."""

from datetime import date, timedelta

import pytest

from tests.cli.reckon.ask import Item, ask, refusal

READINGS: list[Item] = [
    {"date": f"2025-03-{day:02d}", "mg_per_l": level} for day, level in ((1, 4), (8, 11), (15, 18))
]
ITEM: Item = {"litres": 100, "readings": READINGS, "changes": []}


def test_a_steady_rise_gives_production_ceiling_and_plan() -> None:
    answer = ask("nitrate", ITEM | {"ceiling_mg_per_l": 28})
    assert answer["production_mg_per_day"] == pytest.approx(100.0)
    assert answer["reaches_ceiling"]["median"] == str(date(2025, 3, 15) + timedelta(days=10))
    assert answer["weekly_change_fraction"] == pytest.approx(0.25)


def test_a_tank_near_its_ceiling_is_told_to_begin_today() -> None:
    notes = ask("nitrate", ITEM | {"ceiling_mg_per_l": 20})["notes"]
    assert notes == ["Begin with a change of 27.8 % today."]  # from 18 to 13, and 7 more by next week


def test_a_change_in_litres_is_one_in_shares() -> None:
    readings = [*READINGS, {"date": "2025-03-16", "mg_per_l": 9.5}]
    by_litres = ask(
        "nitrate", ITEM | {"readings": readings, "changes": [{"date": "2025-03-15", "litres": 50}]}
    )
    by_share = ask(
        "nitrate", ITEM | {"readings": readings, "changes": [{"date": "2025-03-15", "fraction": 0.5}]}
    )
    assert by_litres == by_share
    assert by_share["production_mg_per_day"] == pytest.approx(100.0, rel=0.05)


def test_one_reading_says_what_is_wanting() -> None:
    answer = ask("nitrate", ITEM | {"readings": READINGS[:1]})
    assert (answer["production_mg_per_day"], answer["weekly_change_fraction"]) == (None, None)
    assert "Give readings on different days" in answer["notes"][0]


def test_feed_stands_in_for_readings() -> None:
    answer = ask("nitrate", ITEM | {"readings": READINGS[:1], "feed_g_per_day": 1, "protein_fraction": 0.45})
    assert answer["production_mg_per_day"] == pytest.approx(1 * 0.45 * 0.16 * 0.7 * 4426.64, rel=1e-5)


def test_what_no_plan_can_hold_is_said() -> None:
    hard = {"changes": [{"date": "2025-03-15", "fraction": 0.5, "source_mg_per_l": 30}]}
    assert "The new water holds as much" in ask("nitrate", ITEM | hard)["notes"][0]
    fast = [{"date": "2025-03-01", "mg_per_l": 0}, {"date": "2025-03-15", "mg_per_l": 140}]
    assert "One change a week is not enough" in ask("nitrate", ITEM | {"readings": fast})["notes"][0]


def test_impossible_input_is_refused_by_place() -> None:
    assert refusal("nitrate", ITEM | {"readings": []}).startswith("readings: 0 entries; give at least 1")
    assert "two readings on 2025-03-01" in refusal("nitrate", ITEM | {"readings": READINGS[:1] * 2})
    assert "makes sense only with feed_g_per_day" in refusal("nitrate", ITEM | {"protein_fraction": 0.4})
    assert "lies after today" in refusal("nitrate", ITEM | {"today": "2025-03-10"})
    too_much = {"changes": [{"date": "2025-03-02", "litres": 120}]}
    assert refusal("nitrate", ITEM | too_much).startswith("changes[0].litres: 120 L is more")
