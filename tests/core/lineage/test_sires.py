"""Possible sires follow from who stood with the dam when the brood was conceived."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.lineage.sires import Exposure, conception_days, possible_sires
from app.core.problems import Problem

DROP = date(2025, 6, 30)
CONCEIVED = conception_days(DROP, 27)


def ago(days: int) -> date:
    return DROP - timedelta(days=days)


def chances(*exposures: Exposure, storage: float = 240) -> dict[str | None, float]:
    return {one.sire: one.chance for one in possible_sires(exposures, CONCEIVED, storage)}


def test_conception_falls_about_four_fifths_of_an_interval_before_the_drop() -> None:
    middle = sum((DROP - day).days * weight for day, weight in CONCEIVED.items())
    assert middle == pytest.approx(22, abs=0.01)
    assert sum(CONCEIVED.values()) == pytest.approx(1)


def test_the_only_male_there_is_the_sire() -> None:
    assert chances(Exposure("A", ago(60))) == {"A": pytest.approx(1)}


def test_two_males_there_share_alike() -> None:
    assert chances(Exposure("A", ago(60)), Exposure("B", ago(60))) == pytest.approx({"A": 0.5, "B": 0.5})


def test_a_fresh_male_mostly_displaces_a_stored_one() -> None:
    found = chances(Exposure("old", ago(100), ago(70)), Exposure("new", ago(60)))
    assert found == pytest.approx({"new": 0.9, "old": 0.1})


def test_without_a_male_the_later_stored_one_is_likelier() -> None:
    found = chances(Exposure("first", ago(200), ago(150)), Exposure("second", ago(120), ago(60)))
    assert found["second"] > found["first"] > 0
    assert sum(found.values()) == pytest.approx(1)


def test_a_male_that_came_after_conception_is_no_sire() -> None:
    assert "late" not in chances(Exposure("A", ago(60)), Exposure("late", ago(5)))


def test_stored_sperm_past_its_time_leaves_the_sire_unknown() -> None:
    assert chances(Exposure("A", ago(400), ago(300))) == pytest.approx({None: 1})
    assert chances(Exposure("A", ago(60), ago(40)), storage=0) == pytest.approx({None: 1})
    assert chances() == pytest.approx({None: 1})


def test_males_nobody_noted_count_as_one_unknown() -> None:
    found = chances(Exposure(None, ago(90), ago(50)), Exposure("A", ago(45)))
    assert found == pytest.approx({"A": 0.9, None: 0.1})


@given(
    st.lists(
        st.builds(
            lambda sire, start, days: Exposure(sire, ago(start), ago(start) + timedelta(days=days)),
            st.sampled_from(["A", "B", "C", None]),
            st.integers(0, 400),
            st.integers(0, 100),
        ),
        max_size=6,
    ),
    st.floats(0, 300),
)
def test_chances_always_add_up(exposures: list[Exposure], storage: float) -> None:
    assert sum(chances(*exposures, storage=storage).values()) == pytest.approx(1)


def test_impossible_spells_are_refused() -> None:
    with pytest.raises(Problem, match="before he came on"):
        chances(Exposure("A", ago(10), ago(20)))
    with pytest.raises(Problem, match="give 0 or more"):
        chances(storage=-1)
    with pytest.raises(Problem, match="more than 0"):
        conception_days(DROP, 0)
