"""``reckon score`` scores forecasts as the contract says."""

from datetime import date

import pytest

from tests.cli.reckon.ask import Item, ask, refusal
from tests.reference.published import cases

NORMAL: Item = {"normal": {"mean": 28, "sd": 2}, "outcome": 31}
STEPS: Item = {"cdf": [{"x": 27, "p": 0.2}, {"x": 28, "p": 0.7}, {"x": 29, "p": 1}], "outcome": 28}


def test_published_crps_in_input_order() -> None:
    published = [c for c in cases(11, "11.CRPSN") + cases(11, "11.CRPSLN") if c.inputs]
    forecasts = []
    for c in published:
        mu, sigma = c.inputs["mu"], c.inputs["sigma"]
        wide = (
            {"lognormal": {"mu": mu, "sigma": sigma}}
            if "LN" in c.id
            else {"normal": {"mean": mu, "sd": sigma}}
        )
        forecasts.append(wide | {"outcome": c.inputs["y"]})
    answer = ask("score", {"forecasts": forecasts})
    expected = [c.expected for c in published]
    assert answer["crps"] == pytest.approx(expected, abs=1e-5)
    assert answer["mean_crps"] == pytest.approx(sum(expected) / len(expected), abs=1e-5)


def test_coverage_width_and_pit() -> None:
    answer = ask("score", {"forecasts": [NORMAL, NORMAL | {"outcome": 28}]})
    assert answer["coverage_80"] == 0.5
    assert answer["mean_width_80"] == pytest.approx(2 * 1.2815516 * 2)
    assert answer["pit"] == pytest.approx([0.933193, 0.5], abs=1e-6)


def test_a_table_of_days_is_a_staircase() -> None:
    answer = ask("score", {"forecasts": [STEPS]})
    # by hand: 0.2² on [27, 28), 0.3² on [28, 29)
    assert answer["crps"] == pytest.approx([0.04 + 0.09])
    assert answer["pit"] == pytest.approx([0.45])
    assert (answer["coverage_80"], answer["mean_width_80"]) == (1, 2)


def test_a_birth_forecast_can_be_scored() -> None:
    birth = ask("birth", {"species": "guppy", "today": "2026-05-01", "last_drop": "2026-05-01"})
    start = date(2026, 5, 1)
    rows = [{"x": (date.fromisoformat(r["date"]) - start).days, "p": r["p"]} for r in birth["cdf"]]
    answer = ask("score", {"forecasts": [{"cdf": rows, "outcome": 27}]})
    assert 0.5 < answer["crps"][0] < 1.5
    assert answer["mean_width_80"] in {8, 9, 10}


@pytest.mark.parametrize(
    ("item", "line"),
    [
        ({"forecasts": []}, "forecasts: 0 entries; give at least 1"),
        ({"forecasts": [{"outcome": 3}]}, "forecasts[0].normal: none given; give exactly one of"),
        ({"forecasts": [NORMAL | STEPS]}, "forecasts[0].cdf: normal and cdf given together"),
        (
            {"forecasts": [{"normal": {"mean": 1, "sd": 0}, "outcome": 3}]},
            "forecasts[0].normal.sd: 0 cannot be",
        ),
        (
            {"forecasts": [{"cdf": [{"x": 2, "p": 0.5}, {"x": 1, "p": 1}], "outcome": 3}]},
            "forecasts[0].cdf: x must rise",
        ),
        (
            {"forecasts": [{"cdf": [{"x": 2, "p": 0.5}], "outcome": 3}]},
            "forecasts[0].cdf: p ends at 0.5; carry the table on",
        ),
        ({"forecasts": [{"normal": {"mean": 1, "sd": 2}}]}, "forecasts[0].outcome: missing"),
    ],
)
def test_impossible_input_is_refused_by_place(item: Item, line: str) -> None:
    assert refusal("score", item).startswith(line)
