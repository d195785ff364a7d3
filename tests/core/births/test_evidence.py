"""What is refused as evidence on a birth, and in which words."""

from datetime import date
from typing import Any

import pytest

from app.core.births import Arrived, BirthEvidence, Exposed, LastDrop, OwnInterval, Start
from app.core.births.evidence import starts
from app.core.problems import Problem
from app.core.species import species
from tests.core.births.build import MAY, day, dropped, intervals


@pytest.mark.parametrize(
    ("low", "high", "message"),
    [
        (0, 0, "an interval of 0 days: the drops are out of order"),
        (-3, 5, "an interval of -3 days: the drops are out of order"),
        (28, 26, "an interval from 28 to 26 days ends before it starts"),
    ],
)
def test_an_impossible_interval_is_refused(low: float, high: float, message: str) -> None:
    with pytest.raises(Problem, match=message) as refused:
        OwnInterval(low, high)
    assert refused.value.field == "interval_days"


def test_an_interval_in_fahrenheit_is_refused() -> None:
    with pytest.raises(Problem, match=r"79 looks like °F\?") as refused:
        OwnInterval(26, 26, 79)
    assert refused.value.field == "mean_temp_c"


def test_an_interval_between_two_dates_is_a_span() -> None:
    span = OwnInterval(24, 30)
    assert (span.middle, span.variance) == (27, 3)


@pytest.mark.parametrize(
    ("start", "field", "message"),
    [
        (LastDrop(day(3), day(3)), "last_drop", "2026-05-04 is after today"),
        (LastDrop(day(-3), day(3)), "last_drop", "2026-05-04 is after today"),
        (LastDrop(day(-3), day(-5)), "last_drop", "ends on 2026-04-26, before it starts"),
        (Exposed(day(2)), "exposed_from", "is after today"),
        (Exposed(day(-2), day(-9)), "exposed_to", "the males left on 2026-04-22, before they came"),
        (Arrived(day(1)), "arrived", "is after today"),
        (LastDrop(date(2019, 1, 1), date(2019, 1, 1)), "last_drop", "more than five years before today"),
    ],
)
def test_impossible_dates_are_refused(start: Start, field: str, message: str) -> None:
    with pytest.raises(Problem, match=message) as refused:
        BirthEvidence(species("guppy"), MAY, start)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("more", "field", "message"),
    [
        ({"virgin": True}, "virgin", "a virgin dam has had no drop; give exposed_from"),
        ({"virgin": True, "start": Arrived(MAY, with_males=True)}, "virgin", "is no virgin"),
        ({"virgin": True, "start": Exposed(MAY), "history": intervals(26)}, "virgin", "leave history out"),
        ({"virgin": True, "start": Exposed(MAY), "brood_number": 3}, "brood_number", "of a virgin dam"),
        ({"brood_number": 0}, "brood_number", "the first brood is 1"),
        ({"dam_length_mm": -40}, "dam_length_mm", "give her total length in mm"),
        ({"dam_length_mm": 1500}, "dam_length_mm", "give her total length in mm"),
        ({"own_brood_sizes": (20, -1)}, "own_brood_sizes", "a brood below 0 fry"),
        ({"males_until": day(4)}, "males_until", "after today; leave it out"),
    ],
)
def test_impossible_facts_are_refused(more: dict[str, Any], field: str, message: str) -> None:
    with pytest.raises(Problem, match=message) as refused:
        dropped(**more)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        (LastDrop(day(-3), day(-1)), (day(-3), "last_drop")),
        (Exposed(day(-4)), (day(-4), "exposed_from")),
        (Arrived(day(-5)), (day(-5), "arrived")),
    ],
)
def test_every_wait_has_a_first_day(start: Start, expected: tuple[date, str]) -> None:
    assert starts(start) == expected


@pytest.mark.parametrize(
    ("more", "number"),
    [({}, None), ({"history": intervals(26, 27)}, 3), ({"brood_number": 1}, 1), ({"brood_number": 5}, 4)],
)
def test_the_running_interval_has_a_number(more: dict[str, Any], number: int | None) -> None:
    assert dropped(**more).interval_number == number
