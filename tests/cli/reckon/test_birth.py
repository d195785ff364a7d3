"""``reckon birth`` forecasts drops as the contract says."""

import json
from datetime import date

import pytest
from click.testing import CliRunner

from app.cli.reckon.command import reckon
from app.core.births import BirthEvidence, LastDrop, OwnInterval, forecast_birth
from app.core.species import species
from app.core.thermal import TemperatureLog
from tests.cli.reckon.ask import Item, ask, refusal

ITEM: Item = {"species": "guppy", "today": "2026-05-20", "last_drop": "2026-05-01"}


def test_the_answer_is_the_forecast_of_the_core() -> None:
    history = [{"interval_days": 27, "mean_temp_c": 26}, {"interval_days": 28}]
    answer = ask("birth", ITEM | {"history": history, "temperature_c": 24, "brood_number": 4})
    found = forecast_birth(
        BirthEvidence(
            species("guppy"),
            date(2026, 5, 20),
            LastDrop(date(2026, 5, 1), date(2026, 5, 1)),
            history=(OwnInterval(27, 27, 26), OwnInterval(28, 28)),
            brood_number=4,
            temperature=TemperatureLog.constant(24),
        )
    )
    assert found.window_80 is not None
    assert answer["p_carrying"] == pytest.approx(found.p_carrying, abs=1e-6)
    assert answer["median"] == str(found.median)
    assert answer["window_80"] == {"from": str(found.window_80.start), "to": str(found.window_80.end)}
    assert [row["p"] for row in answer["cdf"]] == pytest.approx([p for _, p in found.cdf], abs=1e-6)
    assert answer["cdf"][0]["date"] == "2026-05-20"
    assert len(answer["later_drops"]) == 3
    assert answer["brood_size"]["p10"] < answer["brood_size"]["median"] < answer["brood_size"]["p90"]
    assert (answer["confidence"], answer["method"]) == ("high", "births")
    assert "fry_per_week" not in answer


def test_a_virgin_is_counted_from_first_exposure() -> None:
    item = {"species": "guppy", "today": "2026-05-01", "exposed_from": "2026-05-01", "virgin": True}
    assert ask("birth", item)["median"] == "2026-06-08"


def test_removed_males_leave_falling_chances() -> None:
    item = {
        "species": "guppy", "today": "2026-05-20", "virgin": True,
        "exposed_from": "2026-05-01", "exposed_to": "2026-05-08",
    }  # fmt: skip
    assert "stored sperm runs out" in " ".join(ask("birth", item)["notes"])


@pytest.mark.parametrize(("with_males", "chance"), [(True, 0.9), (None, 0.6), (False, 0.1)])
def test_a_bought_dam_starts_at_what_is_known(with_males: bool | None, chance: float) -> None:
    item = {"species": "guppy", "today": "2026-05-01", "arrived": "2026-05-01", "with_males": with_males}
    assert ask("birth", item)["p_carrying"] == pytest.approx(chance)


def test_a_goodeid_told_only_by_her_last_drop_has_no_next() -> None:
    answer = ask("birth", ITEM | {"species": "redtail_goodeid"})
    assert answer["p_carrying"] == 0
    assert (answer["median"], answer["window_80"], answer["cdf"], answer["brood_size"]) == (
        None,
        None,
        [],
        None,
    )
    assert "no drop can follow until one joins her" in answer["notes"][0]


def test_least_killifish_get_a_rate() -> None:
    answer = ask("birth", ITEM | {"species": "least_killifish"})
    assert answer["fry_per_week"] == pytest.approx(3.5)
    assert answer["window_80"] is None


def test_temperatures_move_the_window() -> None:
    readings = [{"date": f"2026-05-{day:02d}", "c": 29} for day in range(1, 20)]
    assert ask("birth", ITEM | {"temperature_c": readings})["median"] < ask("birth", ITEM)["median"]


def test_sisters_narrow_the_window() -> None:
    kin = [[{"interval_days": 26}] * 3] * 6
    widths = [
        date.fromisoformat(window["to"]) - date.fromisoformat(window["from"])
        for more in ({"kin_history": kin}, {})
        for window in [ask("birth", ITEM | more)["window_80"]]
    ]
    assert widths[0] < widths[1]


@pytest.mark.parametrize(
    ("change", "line"),
    [
        ({"species": "goldfish"}, 'species: "goldfish" is not known; give one of: guppy'),
        ({"today": "2026-04-01"}, "last_drop: 2026-05-01 is after today"),
        ({"arrived": "2026-05-01"}, "arrived: last_drop and arrived given together; give exactly one of"),
        ({"temperature_c": 78}, "temperature_c: 78 (°F?) cannot be"),
        ({"temperature_c": [{"date": "2026-05-01", "c": 78}]}, "temperature_c[0].c: 78 (°F?)"),
        ({"temperature_c": []}, "temperature_c: 0 entries; give at least 1"),
        ({"temperature_c": [{"date": "2026-05-01", "c": 25}] * 2}, "temperature_c: two temperatures on"),
        (
            {"history": [{"interval_days": 26}, {"interval_days": -26}]},
            "history[1].interval_days: an interval of -26 days: the drops are out of order; give them oldest",
        ),
        (
            {"history": [{"interval_days": 0}]},
            "history[0].interval_days: an interval of 0 days: the drops are",
        ),
        ({"history": [{"interval_days": 2600}]}, "history[0].interval_days: 2600 cannot be; give"),
        ({"history": [{"interval_days": 26, "mean_temp_c": 79}]}, "history[0].mean_temp_c: 79 (°F?)"),
        ({"kin_history": [[{"days": 26}]]}, "kin_history[0][0].days: unknown key; accepted: interval_days"),
        ({"brood_number": 0}, "brood_number: 0 cannot be; give a whole number"),
        ({"dam_length_mm": -4}, "dam_length_mm: -4 cannot be"),
        ({"virgin": True}, "virgin: a virgin dam has had no drop; give exposed_from"),
        ({"with_males": True}, "with_males: makes sense only with arrived"),
        ({"exposed_to": "2026-05-03"}, "exposed_to: makes sense only with exposed_from"),
        ({"temperature": 25}, "temperature: unknown key; accepted: species, today"),
    ],
)
def test_impossible_input_is_refused_by_place(change: Item, line: str) -> None:
    assert refusal("birth", ITEM | change).startswith(line)


def test_males_that_leave_in_the_future_are_refused() -> None:
    exposed = {"species": "guppy", "today": "2026-05-20", "exposed_from": "2026-05-01"}
    line = refusal("birth", exposed | {"exposed_to": "2026-06-01"})
    assert line.startswith("exposed_to: 2026-06-01 is after today (2026-05-20); leave it out until")


def test_a_missing_start_is_refused() -> None:
    line = refusal("birth", {"species": "guppy", "today": "2026-05-20"})
    assert line == "last_drop: none given; give exactly one of: last_drop, exposed_from, arrived"


def test_the_second_item_is_named() -> None:
    result = CliRunner().invoke(reckon, ["birth"], input=json.dumps([ITEM, ITEM | {"today": "x"}]))
    assert result.exit_code == 2
    assert result.stderr.startswith("broodwater reckon: item 1, today: ")
