"""``reckon survival`` follows counts and looks ahead."""

import pytest

from tests.cli.reckon.ask import Item, ask, refusal

COUNTS: list[Item] = [
    {"date": "2026-01-01", "alive": 30},
    {"date": "2026-01-15", "alive": 24},
    {"date": "2026-02-01", "alive": 20},
]
ITEM: Item = {"counts": COUNTS, "until": "2026-03-01"}


def test_the_curve_steps_down_with_the_counts() -> None:
    curve = ask("survival", ITEM)["curve"]
    assert [step["date"] for step in curve] == ["2026-01-01", "2026-01-15", "2026-02-01"]
    assert [step["survival"] for step in curve] == pytest.approx([1.0, 0.8, 2 / 3])


def test_rehomed_fish_have_not_died() -> None:
    answer = ask("survival", ITEM | {"removed": [{"date": "2026-01-20", "n": 4}]})
    assert [step["survival"] for step in answer["curve"]] == pytest.approx([1.0, 0.8])


def test_the_forecast_lies_in_order_at_or_under_what_is_there() -> None:
    ahead = ask("survival", ITEM)["forecast"]
    assert 0 < ahead["p10"] < ahead["median"] < ahead["p90"] <= 20


def test_impossible_input_is_refused_by_place() -> None:
    assert refusal("survival", ITEM | {"counts": []}).startswith("counts: 0 entries; give at least 1")
    twice = {"counts": [*COUNTS, {"date": "2026-02-01", "alive": 19}]}
    assert refusal("survival", ITEM | twice).startswith("counts: two counts on 1 February 2026")
    none = {"counts": [{"date": "2026-01-01", "alive": 0}]}
    assert refusal("survival", ITEM | none).startswith("counts: no fish alive on 1 January 2026, the first")
    many = {"removed": [{"date": "2026-01-20", "n": 40}]}
    assert "only 24 were alive on 20 January; 40 can't be rehomed" in refusal("survival", ITEM | many)
    assert refusal("survival", ITEM | {"until": "2026-01-20"}).startswith(
        "until: until 2026-01-20 lies before"
    )
    below = {"counts": [{"date": "2026-01-01", "alive": -3}]}
    assert refusal("survival", ITEM | below).startswith("counts[0].alive: -3 cannot be")
