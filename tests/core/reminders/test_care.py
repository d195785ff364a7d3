"""The rules about care, by dates alone."""

from dataclasses import replace
from datetime import date, timedelta

from app.core.fry_care import BOX_DAYS, USUAL
from app.core.reminders import DamFact, Facts, FryFact, Given, NitrateFact, RoomFact, StrayFact, ahead, due
from app.core.reminders.care import (
    EATEN_DAYS,
    crowded,
    fry_box,
    fry_change_due,
    fry_feeding,
    nitrate_due,
    out_of_range,
    parents_out,
)
from app.core.windows import Window

TODAY = date(2026, 6, 15)


def days(number: int) -> date:
    return TODAY + timedelta(days=number)


FRY = FryFact(4, "AM-3", 2, days(-5), days(-5), USUAL)
ROOM = RoomFact(2, "A4", 54.0)
STRAY = StrayFact(2, "A4", "pH", "pH", "6.4", "7 to 8", high=False, read_on=days(-1), mark="first")


def test_feeding_is_told_when_a_stage_begins_and_not_every_day() -> None:
    found = [*fry_feeding(Facts(TODAY, fry=(FRY,), rooms=(ROOM,)))]
    assert [one.due for one in found] == [days(-5), days(9), days(23), days(55)]
    assert found[1].words.startswith("Feed the youngest in A4 4 times a day from now on")
    assert "A4 twice a day" in found[3].words
    told = replace(ROOM, changed_on=TODAY)
    assert due(Facts(TODAY, fry=(replace(FRY, born=days(-13)),), rooms=(told,)), {}) == []


def test_a_stage_that_is_news_no_more_does_not_lie_ahead() -> None:
    told = [r.due for r in ahead(Facts(TODAY, fry=(FRY,), rooms=(ROOM,)), {}, 30) if r.rule == "fry_feeding"]
    assert told == [days(9), days(23)]


def test_the_fry_of_a_tank_are_told_of_once_by_the_youngest() -> None:
    twin, old = replace(FRY, id=5, code="AM-4"), replace(FRY, id=6, born=days(-14))
    found = [*fry_feeding(Facts(TODAY, fry=(FRY, twin, old), rooms=(ROOM,)))]
    assert [one.due for one in found] == [days(-5), days(9), days(23), days(55)]


def test_a_change_is_due_so_many_days_after_the_last_one() -> None:
    facts = Facts(TODAY, fry=(FRY,), rooms=(replace(ROOM, changed_on=days(-1)),))
    (found,) = fry_change_due(facts)
    assert found.due == days(1)
    assert found.words == "Change 10 % of A4 for its fry: every 2 days at their age, the last was yesterday."


def test_the_youngest_fry_of_a_tank_set_the_pace() -> None:
    old = replace(FRY, id=5, born=days(-50), since=days(-50))
    alone = Facts(TODAY, fry=(old,), rooms=(replace(ROOM, changed_on=days(-3)),))
    together = replace(alone, fry=(old, replace(FRY, since=days(-5))))
    assert [one.due for one in fry_change_due(alone)] == [days(4)]
    assert [one.due for one in fry_change_due(together)] == [days(-1)]


def test_a_logged_change_answers_and_an_answer_holds_for_one_period() -> None:
    late = Facts(TODAY, fry=(FRY,), rooms=(replace(ROOM, changed_on=days(-4)),))
    (asked,) = [one for one in due(late, {}) if one.rule == "fry_change_due"]
    answered = {asked.key: Given()}
    assert [one for one in due(late, answered) if one.rule == "fry_change_due"] == []
    again = replace(late, today=days(2))
    assert [one.rule for one in due(again, answered) if one.rule == "fry_change_due"] == ["fry_change_due"]
    logged = replace(late, rooms=(replace(ROOM, changed_on=TODAY),))
    assert [one for one in due(logged, {}) if one.rule == "fry_change_due"] == []


def test_without_any_change_logged_a_stage_is_told_once() -> None:
    facts = Facts(TODAY, fry=(replace(FRY, born=days(-2), since=days(-2)),), rooms=(ROOM,))
    (found,) = [one for one in due(facts, {}) if one.rule == "fry_change_due"]
    assert found.due == TODAY
    assert found.words == "Change 10 % of A4 for its fry: every 2 days at their age."
    assert [one for one in due(replace(facts, today=days(6)), {}) if one.rule == "fry_change_due"] == []


def test_grown_fish_and_empty_tanks_have_no_fry_routine() -> None:
    grown = replace(FRY, born=days(-200), since=days(-200))
    assert [*fry_change_due(Facts(TODAY, fry=(grown,), rooms=(ROOM,)))] == []
    assert [*fry_change_due(Facts(TODAY, rooms=(ROOM,)))] == []


def test_grown_fish_are_parted_from_the_fry_they_stand_with() -> None:
    (found,) = parents_out(Facts(TODAY, fry=(replace(FRY, grown=("G-07", "S-1")), replace(FRY, id=5))))
    assert (found.due, found.until) == (days(-5), days(-1))
    old = replace(FRY, grown=("G-07",), born=days(-6 - EATEN_DAYS))
    assert not [*parents_out(Facts(TODAY, fry=(old,)))]
    assert found.words == (
        "Part G-07 and S-1 from the fry of AM-3: grown livebearers eat fry. "
        "Move the fry, or the grown fish, or give the fry cover they can hide in."
    )


def test_a_fry_box_is_spoken_of_after_two_weeks() -> None:
    assert [*fry_box(Facts(TODAY, fry=(FRY,)))] == []
    (found,) = fry_box(Facts(TODAY, fry=(replace(FRY, box_since=days(-5)),)))
    assert found.due == days(BOX_DAYS - 5)
    (sooner,) = fry_box(Facts(TODAY, fry=(replace(FRY, box_since=days(-5)),), box_days=6))
    assert sooner.due == days(1)


def test_nitrate_is_asked_two_days_ahead_and_a_new_test_is_a_new_occasion() -> None:
    reached = NitrateFact(14.0, 20.0, Window(days(2), days(12), 0.8), days(6), "2026-06-10")
    (found,) = nitrate_due(Facts(TODAY, rooms=(replace(ROOM, nitrate=reached),)))
    assert found.due == days(4)
    assert "reaches 20 mg/L" in found.words
    (newer,) = nitrate_due(Facts(TODAY, rooms=(replace(ROOM, nitrate=replace(reached, mark="x")),)))
    assert newer.key != found.key


def test_nitrate_above_its_ceiling_is_due_at_once() -> None:
    reached = NitrateFact(26.0, 20.0, Window(TODAY, TODAY, 0.8), TODAY, "2026-06-10")
    (found,) = nitrate_due(Facts(TODAY, rooms=(replace(ROOM, nitrate=reached),)))
    assert (found.due, found.words) == (
        TODAY,
        "Nitrate in A4 stands at about 26 mg/L, above 20: change water.",
    )


def test_water_is_changed_a_little_at_a_time_beside_a_dam_who_may_drop() -> None:
    reached = NitrateFact(26.0, 20.0, Window(TODAY, TODAY, 0.8), TODAY, "2026-06-10")
    dam = DamFact(1, "G-07", ROOM.tank_id, 11, 0.9, Window(days(-1), days(4)), days(6), overdue=False)
    elsewhere = replace(dam, code="G-08", tank_id=9)
    later = replace(dam, code="G-09", window=Window(days(1), days(4)))
    facts = Facts(TODAY, dams=(dam, elsewhere, later), rooms=(replace(ROOM, nitrate=reached),))
    (found,) = nitrate_due(facts)
    assert found.words.endswith("above 20: change water, a little at a time while G-07 may drop any day.")


def test_a_change_for_fry_and_one_for_nitrate_are_not_asked_together() -> None:
    soon = NitrateFact(18.0, 20.0, Window(days(1), days(4), 0.8), days(2), "x")
    high = NitrateFact(26.0, 20.0, Window(TODAY, TODAY, 0.8), TODAY, "x")
    for nitrate, rule in ((soon, "fry_change_due"), (high, "nitrate_due")):
        room = replace(ROOM, changed_on=days(-3), nitrate=nitrate)
        found = due(Facts(TODAY, fry=(FRY,), rooms=(room,)), {})
        assert [one.rule for one in found if one.rule in {"fry_change_due", "nitrate_due"}] == [rule]


def test_a_tight_tank_is_told_once_and_again_when_a_quarter_more_is_wanted() -> None:
    def key(litres: float) -> list[str]:
        rooms = (replace(ROOM, number=60, wants_litres=litres),)
        return [one.key for one in crowded(Facts(TODAY, rooms=rooms))]

    assert key(54.0) == []
    assert key(58.0) == key(60.0) != key(70.0)


def test_a_reading_out_of_range_is_said_once_with_what_to_do() -> None:
    facts = Facts(TODAY, strays=(STRAY,))
    (found,) = out_of_range(facts)
    assert found.words.startswith("pH in A4 was 6.4 yesterday; wanted: 7 to 8. Test KH")
    assert due(facts, {found.key: Given()}) == []
    newer = replace(STRAY, read_on=TODAY, mark=str(TODAY))
    assert len(due(Facts(TODAY, strays=(newer,)), {found.key: Given()})) == 1
