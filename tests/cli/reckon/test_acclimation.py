"""``reckon acclimation`` gives dated steps within the limits."""

from tests.cli.reckon.ask import Item, ask, refusal

ITEM: Item = {
    "from": {"salinity_g_per_l": 6, "gh_dh": 20, "temperature_c": 27},
    "to": {"salinity_g_per_l": 0, "gh_dh": 11, "temperature_c": 25},
    "limits_per_day": {"salinity_g_per_l": 2, "gh_dh": 3, "temperature_c": 2},
    "start": "2025-03-01",
}


def test_steps_are_dated_and_even() -> None:
    steps = ask("acclimation", ITEM)["steps"]
    assert [step["date"] for step in steps] == ["2025-03-01", "2025-03-02", "2025-03-03"]
    assert [step["salinity_g_per_l"] for step in steps] == [4, 2, 0]
    assert steps[-1]["replace_fraction"] == 1


def test_what_is_not_known_is_null() -> None:
    steps = ask("acclimation", ITEM | {"from": {"gh_dh": 20}})["steps"]
    assert {step["salinity_g_per_l"] for step in steps} == {None}


def test_impossible_plans_are_refused_by_place() -> None:
    assert "no value is known of both waters" in refusal("acclimation", ITEM | {"from": {}})
    hot = ITEM | {"from": {"temperature_c": 80}}
    assert refusal("acclimation", hot).startswith("from.temperature_c: 80 (°F?)")
    assert "limits_per_day.gh_dh" in refusal("acclimation", ITEM | {"limits_per_day": {"gh_dh": 0}})
