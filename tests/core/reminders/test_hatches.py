"""The rule about brine shrimp, by dates alone."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.core.fry_care import USUAL
from app.core.reminders import DamFact, Facts, FryFact, due
from app.core.reminders.facts import Leads
from app.core.reminders.hatches import NAUPLII_DAYS, brine_shrimp
from app.core.windows import Window

TODAY = date(2026, 6, 15)


def days(number: int) -> date:
    return TODAY + timedelta(days=number)


DAM = DamFact(1, "G-07", 3, 11, 0.9, Window(days(4), days(9)), days(12), overdue=False)
FRY = FryFact(4, "AM-3", 2, days(-5), days(-5), USUAL)


def test_the_first_hatch_is_started_two_days_before_the_window_opens() -> None:
    (found,) = brine_shrimp(Facts(TODAY, dams=(DAM,)))
    assert (found.key, found.due, found.until) == ("brine_shrimp:11", days(2), days(9))
    assert found.words == (
        "Start a brine-shrimp hatch for the fry of G-07 (19–24 June): it takes 24 to 30 hours at 25 °C, "
        "longer when cooler. Then a small one each day."
    )


def test_one_hatch_serves_all_dams_whose_time_has_come_and_another_dam_is_another_occasion() -> None:
    soon = replace(DAM, window=Window(days(1), days(6)))
    second = replace(soon, id=2, code="G-08", carrying_id=12, window=Window(days(2), days(7)))
    (found,) = brine_shrimp(Facts(TODAY, dams=(second, soon)))
    assert (found.key, found.due, found.until) == ("brine_shrimp:12", TODAY, days(7))
    assert "the fry of G-07 (16–21 June) and G-08 (17–22 June)" in found.words
    alone, later = brine_shrimp(Facts(days(-1), dams=(second, soon)))
    assert (alone.key, later.key) == ("brine_shrimp:11", "brine_shrimp:12")


def test_the_keeper_of_a_cool_room_starts_earlier() -> None:
    (found,) = brine_shrimp(Facts(TODAY, dams=(DAM,), leads=Leads({("brine_shrimp", None): 3})))
    assert found.due == days(1)


@pytest.mark.parametrize(("p_carrying", "window"), [(0.3, DAM.window), (0.9, None)])
def test_a_drop_that_is_unlikely_or_has_no_date_needs_no_hatch(
    p_carrying: float, window: Window | None
) -> None:
    dam = replace(DAM, p_carrying=p_carrying, window=window)
    assert not [*brine_shrimp(Facts(TODAY, dams=(dam,)))]
    assert not [*brine_shrimp(Facts(TODAY, dams=(dam,), hatching=days(-1)))]


def test_who_hatches_is_asked_once_a_day_for_all_who_need_it() -> None:
    soon = replace(DAM, window=Window(days(1), days(6)))
    facts = Facts(TODAY, dams=(soon,), fry=(FRY,), hatching=days(-1))
    (found,) = brine_shrimp(facts)
    assert (found.due, found.until, found.subject.label) == (TODAY, TODAY, "G-07")
    assert found.words == "Start today’s brine-shrimp hatch: for G-07 and AM-3."
    assert [one.key for one in due(facts, {}) if one.rule == "brine_shrimp"] == [f"brine_shrimp:{TODAY}"]


def test_the_day_s_hatch_is_asked_until_the_fry_take_larger_food() -> None:
    grown = replace(FRY, born=days(-NAUPLII_DAYS))
    assert [*brine_shrimp(Facts(TODAY, fry=(FRY,), hatching=days(-1)))]
    assert not [*brine_shrimp(Facts(TODAY, fry=(grown,), hatching=days(-1)))]


def test_a_hatch_of_today_is_enough_and_who_stopped_is_asked_no_more() -> None:
    assert not [*brine_shrimp(Facts(TODAY, fry=(FRY,), hatching=TODAY))]
    assert not [*brine_shrimp(Facts(TODAY, fry=(FRY,), hatching=days(-3)))]
    assert not [*brine_shrimp(Facts(TODAY, fry=(FRY,)))]
