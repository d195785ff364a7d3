"""``reckon sexing`` gives the window and the split."""

import pytest

from tests.cli.reckon.ask import Item, ask, refusal

ITEM: Item = {"species": "guppy", "born": "2026-01-01", "today": "2026-01-31", "temperature_c": 25}


def test_guppies_at_25_degrees() -> None:
    answer = ask("sexing", ITEM)
    assert (answer["opens"], answer["comfortable"], answer["split_by"]) == (
        "2026-01-31",
        "2026-02-08",
        "2026-01-29",
    )
    assert answer["fraction_sexable_today"] == pytest.approx(0.5)
    assert "Males may have been fertile since 29 January" in answer["notes"][0]


def test_long_fish_are_told_sooner() -> None:
    checks = {"checks": [{"date": "2026-01-22", "n": 12, "mean_mm": 16.5}]}
    assert ask("sexing", ITEM | checks)["opens"] < ask("sexing", ITEM)["opens"]


def test_cool_water_puts_everything_off() -> None:
    warm, cool = ask("sexing", ITEM), ask("sexing", ITEM | {"temperature_c": 20})
    for key in ("opens", "comfortable", "split_by"):
        assert warm[key] < cool[key]


def test_impossible_input_is_refused_by_place() -> None:
    assert refusal("sexing", ITEM | {"species": "carp"}).startswith('species: "carp" is not known')
    assert refusal("sexing", ITEM | {"today": "2025-01-01"}).startswith("born: born 2026-01-01 lies after")
