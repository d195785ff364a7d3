"""``reckon growth`` fits a batch and dates its lengths."""

from datetime import date, timedelta

import pytest

from tests.cli.reckon.ask import Item, ask, refusal

ITEM: Item = {"species": "guppy", "born": "2026-01-01", "today": "2026-03-12"}
CHECKS: list[Item] = [
    {"date": "2026-01-15", "lengths_mm": [10.5, 11.0, 11.5]},
    {"date": "2026-02-12", "n": 10, "mean_mm": 17.0, "sd_mm": 1.4},
    {"date": "2026-03-12", "n": 8, "mean_mm": 21.9, "sd_mm": 1.8},
]


def test_female_guppies_on_their_usual_curve() -> None:
    answer = ask(
        "growth", ITEM | {"sex": "female", "temperature_c": 25, "checks": CHECKS, "targets_mm": [22, 30]}
    )
    assert answer["curve"][0] == {
        "date": "2026-01-01",
        "median_mm": pytest.approx(7.5, rel=0.05),
        "p10_mm": pytest.approx(6.9, rel=0.05),
        "p90_mm": pytest.approx(8.1, rel=0.05),
    }
    first, second = answer["targets"]
    assert first["length_mm"] == 22
    assert abs(date.fromisoformat(first["median"]) - date(2026, 3, 13)) <= timedelta(days=4)
    assert first["from"] <= first["median"] <= first["to"] < second["median"]
    assert answer["standing"] == "on"
    assert 20 < answer["percentile"] < 80
    assert answer["parameters"]["female"]["linf_mm"] == pytest.approx(44, rel=0.15)
    assert "male" not in answer["parameters"]
    assert answer["notes"] == []


def test_an_unsexed_batch_has_both_curves() -> None:
    parameters = ask("growth", ITEM)["parameters"]
    assert parameters["model"] == "von Bertalanffy"
    assert parameters["male"]["linf_mm"] < parameters["female"]["linf_mm"]


def test_without_checks_nothing_is_claimed() -> None:
    answer = ask("growth", ITEM | {"targets_mm": [200]})
    assert (answer["standing"], answer["percentile"]) == (None, None)
    assert answer["targets"] == [{"length_mm": 200, "median": None, "from": None, "to": None}]
    assert "No length checks yet: this is the usual guppy's curve." in answer["notes"]


def test_warm_readings_bring_the_date_forward() -> None:
    readings = [{"date": f"2026-01-{day:02d}", "c": 28} for day in (1, 5, 9)]
    warm = ask("growth", ITEM | {"temperature_c": readings, "targets_mm": [20]})
    cool = ask("growth", ITEM | {"temperature_c": 21, "targets_mm": [20]})
    assert warm["targets"][0]["median"] < cool["targets"][0]["median"]


def test_impossible_input_is_refused_by_place() -> None:
    assert refusal("growth", ITEM | {"temperature_c": 77}).startswith("temperature_c: 77 (°F?)")
    assert refusal("growth", ITEM | {"targets_mm": [-1]}).startswith("targets_mm[0]: -1 cannot be")
    assert refusal("growth", ITEM | {"born": "2026-04-01"}).startswith(
        "born: born 2026-04-01 lies after today"
    )
    in_cm = {"checks": [{"date": "2026-02-01", "lengths_mm": [1.4, 1.5]}]}
    assert "if that was cm, give 14" in refusal("growth", ITEM | in_cm)
    early = {"checks": [{"date": "2025-12-01", "lengths_mm": [14]}]}
    assert refusal("growth", ITEM | early).startswith("checks: the length check of 2025-12-01 lies before")
    alone = {"checks": [{"date": "2026-02-01", "n": 1, "mean_mm": 14, "sd_mm": 2}]}
    assert refusal("growth", ITEM | alone).startswith("checks[0].sd_mm: one fish has no standard deviation")
    assert refusal("growth", ITEM | {"colour": "red"}).startswith("colour: unknown key")
