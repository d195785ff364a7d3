"""Rounds and almanac, from rows to what is shown."""

from datetime import timedelta

from app.core.wording import day_words
from app.queries.almanac import almanac_page
from app.queries.lanes import lanes_page
from app.queries.rounds import rounds_page
from app.services.reminders import answer
from app.services.stays import move
from app.store.actor import Actor
from app.store.reminders import AnswerKind
from app.store.session import RoomSession
from tests.factories import Made
from tests.queries.test_lanes import course
from tests.queries.test_planning import wanting


def address(kind: str, number: int) -> str:
    return f"/{kind}/{number}"


def test_a_pairing_of_weeks_ago_is_watched_today_and_stands_in_the_almanac(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line, his = made.line("guppy"), made.section()
    dam = made.dam(line)
    made.sire(line, his)
    move(session, keeper, section_id=his.id, on=made.days_ago(44), fish_ids=[dam.id])
    walk = rounds_page(session, keeper)
    assert walk.busy[0].due[0].reminder.rule == "watch_daily"
    assert walk.busy[0].due[0].ribbon is not None
    ahead = almanac_page(session, keeper)
    assert ahead.entries[0].stage == "carrying"
    assert ahead.entries[0].uid.startswith("birth-")
    assert ahead.tanks[his.tank_id]
    lanes = lanes_page(session, keeper, 12, address)
    (rowed,) = (row for lane in lanes.lanes for row in lane.rows)
    assert rowed.label == dam.code
    assert rowed.windows[0].word == "drop"
    assert rowed.stays[0].words == f"stands here since {day_words(made.days_ago(44), keeper.today)}"


def test_what_was_answered_leaves_the_rounds(session: RoomSession, keeper: Actor, made: Made) -> None:
    made.batch(made.line("guppy"), age_days=8)
    before = rounds_page(session, keeper)
    assert [one.reminder.rule for one in before.busy[0].due] == ["count_due"]
    answer(session, keeper, key=before.busy[0].due[0].reminder.key, kind=AnswerKind.DONE)
    assert rounds_page(session, keeper).count == 0


def test_a_batch_of_three_weeks_is_to_be_split_soon(session: RoomSession, keeper: Actor, made: Made) -> None:
    made.batch(made.line("guppy"), age_days=25)
    rules = {one.reminder.rule for tank in rounds_page(session, keeper).busy for one in tank.due}
    assert {"split_by", "count_due", "length_check_due"} <= rules


def test_plans_and_waiting_projects_stand_beside_the_windows_of_fish(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    section, line = made.section(), made.line()
    batch, waits = made.batch(line, section, age_days=15), wanting(made, line, "Next", section.tank_id)
    course(made, section.tank_id, days=(0, 4))
    page = almanac_page(session, keeper)
    assert page.counts == {"sexing": 1, "ready": 1, "plan": 1, "project": 1}
    told = {entry.kind: entry for entry in page.entries}
    assert told["plan"].words.startswith("Salt: 2 steps, ")
    assert (told["plan"].window.start, told["plan"].window.end) == (keeper.today, made.days_ago(-4))
    assert told["project"].words.startswith("“Next”, in ")
    assert (told["project"].subject.key, told["ready"].subject.label) == (f"project:{waits.id}", batch.code)
    assert [entry.kind for entry in almanac_page(session, keeper, kind="plan").entries] == ["plan"]


def test_a_long_almanac_is_folded_by_week_and_counts_what_it_folds(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    for age in range(20, 65, 5):
        made.batch(line, age_days=age)
    chapters = almanac_page(session, keeper).chapters
    assert chapters[0].title in {"Begun", "The next seven days"}
    assert not chapters[0].folded
    far = next(chapter for chapter in chapters if chapter.folded)
    assert min(entry.window.start for entry in far.entries) >= keeper.today + timedelta(days=14)
    assert "×" in far.counts
    few = almanac_page(session, keeper, kind="sexing")
    assert len(few.entries) > 8 or not any(chapter.folded for chapter in few.chapters)
