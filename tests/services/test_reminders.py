"""Answering reminders, silencing them, and choosing how early they come."""

from dataclasses import replace
from datetime import time, timedelta

import pytest

from app.core.problems import Problem
from app.core.reminders import EVERYTHING
from app.queries.digest import morning_digest
from app.queries.facts import answers, morning
from app.queries.reminders import reminders_page
from app.services import reminders
from app.services.reminders import answer
from app.services.undo import undo
from app.store.actor import Actor, Forbidden
from app.store.fishrooms import Fishroom
from app.store.reminders import AnswerKind, LeadTime, Muted
from app.store.session import RoomSession, rows
from tests.conftest import People
from tests.factories import Made


def test_an_answer_is_kept_once_changed_and_taken_back(session: RoomSession, keeper: Actor) -> None:
    answer(session, keeper, key="count:1:2026-06-01", kind=AnswerKind.LATER)
    assert answers(session, keeper)[0]["count:1:2026-06-01"].until == keeper.today + timedelta(days=2)
    answer(session, keeper, key="count:1:2026-06-01", kind=AnswerKind.DONE)
    assert answers(session, keeper)[0]["count:1:2026-06-01"].until is None
    undo(session, keeper, session.info["act"].id)
    assert answers(session, keeper)[0]["count:1:2026-06-01"].until == keeper.today + timedelta(days=2)


def test_what_is_never_to_be_asked_reaches_the_rules_until_it_is_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    dam = made.dam()
    for _ in range(2):
        reminders.mute(session, keeper, rule="fry_place", subject=f"fish:{dam.id}")
    assert morning(session, keeper).facts.muted == {("fry_place", f"fish:{dam.id}")}
    shown, title = (
        reminders_page(session, keeper).muted,
        "Get a fry place and cover ready, and move her early",
    )
    assert [(one.label, one.title) for one in shown] == [(dam.code, title)]
    reminders.unmute(session, keeper, rows(session, Muted)[0].id)
    assert morning(session, keeper).facts.muted == frozenset()


def test_a_rule_that_is_silenced_everywhere_reaches_the_rules_until_it_is_taken_back(
    session: RoomSession, keeper: Actor
) -> None:
    reminders.mute_rule(session, keeper, "brine_shrimp")
    assert morning(session, keeper).facts.muted == {("brine_shrimp", EVERYTHING)}
    (shown,) = reminders_page(session, keeper).muted
    assert (shown.label, shown.subject_id) == ("Everywhere", 0)
    undo(session, keeper, session.info["act"].id)
    assert morning(session, keeper).facts.muted == frozenset()
    with pytest.raises(Problem):
        reminders.mute_rule(session, keeper, "no_rule")


def test_a_hatch_that_was_started_is_known_until_another_answer_is_given(
    session: RoomSession, keeper: Actor
) -> None:
    assert morning(session, keeper).facts.hatching is None
    answer(session, keeper, key="brine_shrimp:7", kind=AnswerKind.DONE)
    assert morning(session, keeper).facts.hatching == keeper.today
    later = replace(keeper, now=keeper.now + timedelta(hours=1))
    answer(session, later, key="brine_shrimp:8", kind=AnswerKind.NOT_NEEDED)
    assert morning(session, later).facts.hatching is None


@pytest.mark.parametrize(
    ("rule", "subject"), [("no_rule", "fish:1"), ("fry_place", "fish"), ("fry_place", "plan:1")]
)
def test_what_cannot_be_silenced_is_refused(
    session: RoomSession, keeper: Actor, rule: str, subject: str
) -> None:
    with pytest.raises(Problem):
        reminders.mute(session, keeper, rule=rule, subject=subject)


def test_a_chosen_lead_time_reaches_the_rules_and_the_usual_one_needs_no_row(
    session: RoomSession, keeper: Actor
) -> None:
    reminders.choose_leads(session, keeper, {"fry_place": 12, "split_by": 5})
    assert [(lead.rule, lead.days) for lead in rows(session, LeadTime)] == [("fry_place", 12)]
    assert morning(session, keeper).facts.leads.days("fry_place", None, 7) == 12
    reminders.choose_leads(session, keeper, {"fry_place": None})
    assert rows(session, LeadTime) == []


def test_a_line_has_a_lead_time_of_its_own_until_it_is_taken_back(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line()
    reminders.choose_line_lead(session, keeper, rule="fry_place", line_id=line.id, days=12)
    reminders.choose_line_lead(session, keeper, rule="fry_place", line_id=line.id, days=14)
    assert [own.days for own in reminders_page(session, keeper).line_leads] == [14]
    leads = morning(session, keeper).facts.leads
    assert (leads.days("fry_place", line.id, 7), leads.days("fry_place", None, 7)) == (14, 7)
    reminders.drop_line_lead(session, keeper, rows(session, LeadTime)[0].id)
    assert reminders_page(session, keeper).line_leads == ()


@pytest.mark.parametrize(("rule", "days"), [("fry_place", -1), ("fry_place", 61), ("count_due", 3)])
def test_a_lead_time_that_makes_no_sense_is_refused(
    session: RoomSession, keeper: Actor, rule: str, days: int
) -> None:
    with pytest.raises(Problem):
        reminders.choose_leads(session, keeper, {rule: days})


def test_only_the_keeper_chooses(session: RoomSession, keeper: Actor, people: People) -> None:
    with pytest.raises(Forbidden):
        reminders.choose_leads(session, people.helper, {"fry_place": 9})
    with pytest.raises(Forbidden):
        reminders.choose_quiet_hours(session, people.helper, start=time(22), end=time(7))


def test_a_short_message_on_empty_mornings_is_chosen_and_given_up(
    session: RoomSession, keeper: Actor, people: People
) -> None:
    assert morning_digest(session, keeper) is None
    reminders.choose_empty_mornings(session, keeper, 14)
    message = morning_digest(session, keeper)
    assert message is not None
    assert message.short == "Nothing is due; nothing begins in the next 14 days."
    assert reminders_page(session, keeper).empty_days == 14
    reminders.choose_empty_mornings(session, keeper, 0)
    assert rows(session, LeadTime) == []
    assert morning_digest(session, keeper) is None
    undo(session, keeper, session.info["act"].id)
    assert reminders_page(session, keeper).empty_days == 14
    with pytest.raises(Problem, match="0 to 60"):
        reminders.choose_empty_mornings(session, keeper, 61)
    with pytest.raises(Forbidden):
        reminders.choose_empty_mornings(session, people.helper, 7)


def test_quiet_hours_are_kept_and_taken_back(session: RoomSession, keeper: Actor) -> None:
    room = session.get_one(Fishroom, keeper.fishroom_id)
    reminders.choose_quiet_hours(session, keeper, start=time(22), end=time(7))
    reminders.choose_quiet_hours(session, keeper, start=None, end=None)
    undo(session, keeper, session.info["act"].id)
    session.refresh(room)
    assert (room.quiet_from, room.quiet_to) == (time(22), time(7))


@pytest.mark.parametrize(("start", "end"), [(time(22), None), (None, time(7)), (time(7), time(7))])
def test_half_a_quiet_time_is_refused(
    session: RoomSession, keeper: Actor, start: time | None, end: time | None
) -> None:
    with pytest.raises(Problem):
        reminders.choose_quiet_hours(session, keeper, start=start, end=end)
