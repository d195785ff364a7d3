"""Reminder rules, by dates alone."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.core.reminders import EVERYTHING, RULES, BatchFact, DamFact, Facts, FishFact, Given, ahead, due
from app.core.windows import Window

START = date(2026, 6, 15)
DAM = DamFact(
    id=1,
    code="G-07",
    tank_id=3,
    carrying_id=11,
    p_carrying=0.9,
    window=Window(date(2026, 6, 22), date(2026, 6, 28)),
    last_day=date(2026, 7, 2),
    overdue=False,
)
BATCH = BatchFact(
    id=5,
    code="G-07-2",
    tank_id=4,
    alive=24,
    born=date(2026, 6, 1),
    sexed=False,
    last_counted=None,
    last_measured=None,
    opens=date(2026, 7, 1),
    comfortable=date(2026, 7, 9),
    split_by=date(2026, 6, 29),
    ready=Window(date(2026, 8, 10), date(2026, 8, 30)),
)


def rules_due(facts: Facts, answers: dict[str, Given] | None = None) -> list[str]:
    return [reminder.rule for reminder in due(facts, answers or {})]


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (date(2026, 6, 14), []),
        (date(2026, 6, 15), ["fry_place"]),
        (date(2026, 6, 18), ["fry_place"]),
        (date(2026, 6, 19), ["window_opening"]),
        (date(2026, 6, 20), ["window_opening", "brine_shrimp"]),
        (date(2026, 6, 21), ["window_opening", "brine_shrimp"]),
        (date(2026, 6, 22), ["watch_daily", "brine_shrimp"]),
        (date(2026, 6, 28), ["watch_daily", "brine_shrimp"]),
        (date(2026, 6, 30), ["watch_daily"]),
        (date(2026, 7, 3), []),
    ],
)
def test_a_birth_window_is_led_up_to_and_watched(day: date, expected: list[str]) -> None:
    assert rules_due(Facts(day, dams=(DAM,))) == expected


def test_a_drop_from_sperm_she_kept_is_said_to_be_one() -> None:
    (found,) = due(Facts(date(2026, 6, 15), dams=(replace(DAM, stored=True),)), {})
    assert "she may drop 22–28 June, from sperm she kept." in found.words


def test_a_rule_that_is_silenced_everywhere_speaks_of_nobody() -> None:
    facts = Facts(date(2026, 6, 15), dams=(DAM,), muted=frozenset({("fry_place", EVERYTHING)}))
    assert rules_due(facts) == []


@pytest.mark.parametrize("p_carrying", [0.2, 0.9])
def test_never_do_two_reminders_say_the_same(p_carrying: float) -> None:
    dam = replace(DAM, p_carrying=p_carrying)
    for split_by in (date(2026, 6, 29), date(2026, 7, 20)):
        batch = replace(BATCH, split_by=split_by, last_counted=START, last_measured=START)
        for after in range(120):
            facts = Facts(START - timedelta(days=20) + timedelta(days=after), (dam,), (batch,))
            said = [(r.subject, r.stage) for r in due(facts, {}) if r.stage != "growing"]
            assert len(said) == len(set(said)), facts.today


def test_a_keeper_who_first_looks_days_before_is_told_what_must_stand() -> None:
    facts = Facts(date(2026, 6, 20), dams=(DAM,))
    assert "fry place should stand" in due(facts, {})[0].words
    doubtful = Facts(date(2026, 6, 20), dams=(replace(DAM, p_carrying=0.2),))
    assert "fry place" not in due(doubtful, {})[0].words


def test_an_overdue_dam_is_asked_about_and_nothing_else() -> None:
    late = replace(DAM, overdue=True, p_carrying=0.3)
    facts = Facts(date(2026, 7, 6), dams=(late,))
    assert rules_due(facts) == ["overdue"]
    assert "3 in 10" in due(facts, {})[0].words


def test_a_dam_that_probably_is_not_carrying_needs_no_fry_place() -> None:
    assert rules_due(Facts(START, dams=(replace(DAM, p_carrying=0.4),))) == []


@pytest.mark.parametrize(
    ("counted", "expected"),
    [
        (None, date(2026, 6, 8)),
        (date(2026, 6, 20), date(2026, 6, 27)),
        (date(2026, 7, 10), date(2026, 7, 24)),
        (date(2026, 9, 10), date(2026, 10, 8)),
    ],
)
def test_counts_come_weekly_then_rarer(counted: date | None, expected: date) -> None:
    facts = Facts(START, batches=(replace(BATCH, last_counted=counted),))
    found = [r for r in ahead(facts, {}, 400) if r.rule == "count_due"]
    assert [r.due for r in found] == [expected]


def test_a_length_check_comes_two_weeks_after_birth_and_after_each_other() -> None:
    first = [r for r in ahead(Facts(START, batches=(BATCH,)), {}, 60) if r.rule == "length_check_due"]
    assert first[0].due == date(2026, 6, 15)
    measured = replace(BATCH, last_measured=date(2026, 6, 16))
    then = [r for r in ahead(Facts(START, batches=(measured,)), {}, 60) if r.rule == "length_check_due"]
    assert then[0].due == date(2026, 6, 30)


def test_a_batch_is_split_before_the_males_are_fertile_and_after_it_stays_due() -> None:
    assert "split_by" not in rules_due(Facts(date(2026, 6, 23), batches=(BATCH,)))
    assert "split_by" in rules_due(Facts(date(2026, 6, 24), batches=(BATCH,)))
    assert "split_by" in rules_due(Facts(date(2026, 7, 20), batches=(BATCH,)))
    assert "split_by" not in rules_due(Facts(date(2026, 6, 24), batches=(replace(BATCH, sexed=True),)))


def test_a_batch_ready_to_sex_says_so_when_half_can_be_told() -> None:
    batch = replace(BATCH, split_by=date(2026, 7, 14))
    assert "ready_to_sex" not in rules_due(Facts(date(2026, 6, 30), batches=(batch,)))
    assert "ready_to_sex" in rules_due(Facts(date(2026, 7, 1), batches=(batch,)))
    assert "ready_to_sex" not in rules_due(Facts(date(2026, 7, 9), batches=(batch,)))


def test_rehoming_is_due_when_its_window_opens() -> None:
    assert "ready_to_rehome" not in rules_due(Facts(date(2026, 8, 9), batches=(BATCH,)))
    assert "ready_to_rehome" in rules_due(Facts(date(2026, 8, 10), batches=(BATCH,)))


def test_an_empty_batch_asks_for_nothing() -> None:
    assert rules_due(Facts(date(2026, 8, 10), batches=(replace(BATCH, alive=0),))) == []


def test_quarantine_ends_on_its_day() -> None:
    fish = FishFact(9, "P-01", 2, date(2026, 6, 20))
    assert rules_due(Facts(date(2026, 6, 19), quarantined=(fish,))) == []
    assert rules_due(Facts(date(2026, 6, 20), quarantined=(fish,))) == ["quarantine_ends"]


def test_done_is_never_asked_again_and_later_comes_back() -> None:
    facts = Facts(START, dams=(DAM,))
    key = due(facts, {})[0].key
    assert rules_due(facts, {key: Given()}) == []
    assert rules_due(facts, {key: Given(until=START + timedelta(days=2))}) == []
    later = Facts(START + timedelta(days=2), dams=(DAM,))
    assert rules_due(later, {key: Given(until=START + timedelta(days=2))}) == ["fry_place"]


def test_no_two_reminders_share_a_key() -> None:
    facts = Facts(date(2026, 6, 24), dams=(DAM, replace(DAM, id=2, carrying_id=12)), batches=(BATCH,))
    keys = [reminder.key for reminder in ahead(facts, {}, 365)]
    assert len(keys) == len(set(keys))


def test_every_rule_has_a_title_and_a_name_of_its_own() -> None:
    assert len({rule.key for rule in RULES}) == len(RULES)
    assert all(rule.title for rule in RULES)


def test_a_batch_past_its_window_is_said_to_be_at_size() -> None:
    facts = Facts(date(2026, 9, 2), batches=(replace(BATCH, sexed=True),))
    words = [r.words for r in due(facts, {}) if r.rule == "ready_to_rehome"]
    assert words == ["G-07-2 (24 fish) should be at rehoming size by now: look who could take them."]


def test_a_few_fish_are_measured_all_and_for_the_dates_that_are_left() -> None:
    facts = Facts(START, batches=(replace(BATCH, alive=3, sexed=True, last_counted=START),))
    words = [r.words for r in due(facts, {}) if r.rule == "length_check_due"]
    assert words == ["Measure all 3 of G-07-2: it makes the rehoming date narrower."]


def test_a_batch_that_must_be_at_size_is_measured_no_more() -> None:
    facts = Facts(date(2026, 8, 31), batches=(replace(BATCH, sexed=True),))
    assert "length_check_due" not in rules_due(facts)


@pytest.mark.parametrize(("day", "said"), [(19, "ends 20 June"), (20, "ends today"), (21, "ended 20 June")])
def test_a_quarantine_ends_then_has_ended(day: int, said: str) -> None:
    fish = FishFact(9, "P-01", 2, date(2026, 6, 20))
    found = ahead(Facts(date(2026, 6, day), quarantined=(fish,)), {}, 30)
    assert said in found[0].words
