"""How far ahead rules speak, and what they are told never to speak of again."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.core.reminders import RULES, Facts, FishFact, Leads, ProjectFact, Rule, ahead, due
from app.core.windows import Window
from tests.core.reminders.test_rules import BATCH, DAM

LINE = 4
SEXABLE = replace(BATCH, line_id=LINE, split_by=date(2026, 7, 20))
WAITED = replace(BATCH, id=6, line_id=LINE, sexed=True, waiting=((1, "Ina for 2 fish"),))
FACTS = Facts(
    date(2026, 5, 1),
    dams=(replace(DAM, line_id=LINE),),
    batches=(SEXABLE, WAITED),
    quarantined=(FishFact(9, "P-01", 2, date(2026, 6, 20), LINE),),
    projects=(ProjectFact(5, "More blue", LINE, 2, "B3", Window(date(2026, 7, 1), date(2026, 7, 9))),),
)
WITH_LEAD = [rule for rule in RULES if rule.lead is not None]


def first_due(rule: Rule, facts: Facts) -> date:
    return min(reminder.due for reminder in rule.find(facts))


def chosen(rule: Rule, line_id: int | None, days: int) -> Facts:
    return replace(FACTS, leads=Leads({(rule.key, line_id): days}))


@pytest.mark.parametrize("rule", WITH_LEAD, ids=lambda rule: rule.key)
def test_a_rule_speaks_as_many_days_ahead_as_was_chosen(rule: Rule) -> None:
    usual = first_due(rule, FACTS)
    assert first_due(rule, chosen(rule, None, (rule.lead or 0) + 4)) == usual - timedelta(days=4)


@pytest.mark.parametrize("rule", WITH_LEAD, ids=lambda rule: rule.key)
def test_the_usual_lead_time_shown_is_the_one_that_holds(rule: Rule) -> None:
    assert first_due(rule, chosen(rule, None, rule.lead or 0)) == first_due(rule, FACTS)


@pytest.mark.parametrize("rule", WITH_LEAD, ids=lambda rule: rule.key)
def test_what_is_chosen_for_a_line_goes_before_the_fishroom_and_touches_no_other(rule: Rule) -> None:
    usual = first_due(rule, FACTS)
    own = {(rule.key, None): (rule.lead or 0) + 1, (rule.key, LINE): (rule.lead or 0) + 9}
    assert first_due(rule, replace(FACTS, leads=Leads(own))) == usual - timedelta(days=9)
    assert first_due(rule, chosen(rule, LINE + 1, 30)) == usual


def test_a_rule_with_a_lead_time_says_before_what() -> None:
    assert len(WITH_LEAD) >= 6
    assert all(rule.before for rule in WITH_LEAD)


def test_a_rule_never_speaks_again_of_what_it_was_told_to_leave() -> None:
    facts = replace(FACTS, today=date(2026, 6, 16))
    assert [r.rule for r in due(facts, {}) if r.subject.key == "fish:1"] == ["fry_place"]
    quiet = replace(facts, muted=frozenset({("fry_place", "fish:1")}))
    assert [r.rule for r in due(quiet, {}) if r.subject.key == "fish:1"] == []
    later = ahead(quiet, {}, 60)
    assert "window_opening" in [r.rule for r in later if r.subject.key == "fish:1"]


def test_an_earlier_opening_still_hands_over_without_saying_it_twice() -> None:
    facts = replace(FACTS, leads=Leads({("window_opening", None): 10}))
    for after in range(80):
        said = due(replace(facts, today=facts.today + timedelta(days=after)), {})
        about_dam = [r.rule for r in said if r.subject.key == "fish:1" and r.rule != "brine_shrimp"]
        assert len(about_dam) <= 1, about_dam
