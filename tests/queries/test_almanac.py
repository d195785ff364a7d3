"""Rounds and almanac, from rows to what is shown."""

from app.core.wording import day_words
from app.queries.almanac import almanac_page, lanes_page
from app.queries.rounds import rounds_page
from app.services.reminders import answer
from app.services.stays import move
from app.store.actor import Actor
from app.store.reminders import AnswerKind
from app.store.session import RoomSession
from tests.factories import Made


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


def test_a_tank_is_free_stands_full_with_nothing_ahead_or_has_rows(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    line = made.line("guppy")
    made.tank("Bare")
    made.sire(line, made.section(made.tank("Males")))
    batch = made.batch(line, age_days=8)
    said = {lane.name: (lane.sub, [row.label for row in lane.rows]) for lane in
            lanes_page(session, keeper, 12, address).lanes}  # fmt: skip
    assert said["Bare"] == ("free", [])
    assert said["Males"] == ("nothing ahead", [])
    assert [batch.code] in [labels for _, labels in said.values()]


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
