"""Private calendar addresses, and what calendars were told."""

import threading
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from app.core.problems import Problem
from app.core.reminders import Subject
from app.core.ribbon import ribbon_from_window
from app.core.windows import Window
from app.queries.almanac import KINDS, Ahead
from app.queries.feeds import dated, news, told_events
from app.services import feeds
from app.services.refusals import NotFound
from app.store.actor import Actor
from app.store.reminders import CalendarEvent, CalendarFeed
from app.store.session import RoomSession, enter, make_engine, make_sessions, rows, writing
from tests.conftest import People
from tests.support.database import emptied, migrated, own_url


def entry(actor: Actor, uid: str = "birth-1", begins: int = 5, words: str = "may drop") -> Ahead:
    window = Window(actor.today + timedelta(days=begins), actor.today + timedelta(days=begins + 6))
    return Ahead(
        uid, Subject("fish", 1, "G-07"), None, window, None, "G-07: birth window", words, "carrying", "drop",
        lambda _: ribbon_from_window(window, actor.today),
    )  # fmt: skip


def on(actor: Actor, days: int) -> Actor:
    return replace(actor, now=actor.now + timedelta(days=days))


def shown(
    session: RoomSession, actor: Actor, entries: list[Ahead], *kinds: str
) -> list[tuple[str, int, bool]]:
    told = feeds.remember_told(session, actor, entries)
    events = dated(told, entries, actor, frozenset(kinds), lambda kind, row: f"/{kind}/{row}")
    return [(event.uid, event.sequence, event.cancelled) for event in events]


def test_an_address_opens_until_it_is_taken_back(session: RoomSession, keeper: Actor) -> None:
    token = feeds.make_feed(session, keeper)
    reader = feeds.reader_of_feed(session, token, keeper.now)
    assert reader is not None
    assert (reader.actor.fishroom_id, reader.actor.zone) == (keeper.fishroom_id, "Europe/Berlin")
    feeds.revoke_feed(session, keeper, rows(session, CalendarFeed)[0].id)
    assert feeds.reader_of_feed(session, token, keeper.now) is None


def test_only_a_digest_is_kept(session: RoomSession, keeper: Actor) -> None:
    token = feeds.make_feed(session, keeper)
    assert token not in str(session.execute(select(CalendarFeed.token_hash)).all())


def test_a_reader_cannot_take_back_the_keepers_address(
    session: RoomSession, keeper: Actor, people: People
) -> None:
    feeds.make_feed(session, keeper)
    with pytest.raises(NotFound):
        feeds.revoke_feed(session, people.reader, rows(session, CalendarFeed)[0].id)


def test_what_was_chosen_for_an_address_is_what_its_reader_gets(session: RoomSession, keeper: Actor) -> None:
    token = feeds.make_feed(session, keeper, label=" phone ", kinds=["ready", "birth"], alarm_hour=7)
    reader = feeds.reader_of_feed(session, token, keeper.now)
    assert reader is not None
    assert (sorted(reader.kinds), reader.alarm_hour) == (["birth", "ready"], 7)
    assert rows(session, CalendarFeed)[0].label == "phone"


def test_all_kinds_or_none_chosen_is_everything_there_will_ever_be(
    session: RoomSession, keeper: Actor
) -> None:
    for kinds in ([], list(KINDS)):
        reader = feeds.reader_of_feed(session, feeds.make_feed(session, keeper, kinds=kinds), keeper.now)
        assert reader is not None
        assert reader.kinds == frozenset()


@pytest.mark.parametrize("wrong", [{"label": "x" * 61}, {"alarm_hour": 24}])
def test_what_cannot_be_is_refused(session: RoomSession, keeper: Actor, wrong: dict[str, object]) -> None:
    with pytest.raises(Problem):
        feeds.make_feed(session, keeper, **wrong)  # type: ignore[arg-type]


def test_the_same_almanac_told_twice_changes_nothing(session: RoomSession, keeper: Actor) -> None:
    entries = [entry(keeper)]
    assert shown(session, keeper, entries) == [("birth-1", 0, False)]
    assert not news(told_events(session), entries, keeper.today)
    assert shown(session, on(keeper, 1), entries) == [("birth-1", 0, False)]
    assert rows(session, CalendarEvent)[0].changed_at == keeper.now


def test_a_window_that_moves_raises_its_number_and_its_moment(session: RoomSession, keeper: Actor) -> None:
    shown(session, keeper, [entry(keeper)])
    later = on(keeper, 1)
    assert shown(session, later, [entry(keeper, begins=7)]) == [("birth-1", 1, False)]
    assert shown(session, later, [entry(keeper, begins=7, words="still")]) == [("birth-1", 2, False)]
    row = rows(session, CalendarEvent)[0]
    assert (row.changed_at, row.starts_on) == (later.now, keeper.today + timedelta(days=7))


def test_a_window_that_vanished_is_cancelled_for_thirty_days(session: RoomSession, keeper: Actor) -> None:
    shown(session, keeper, [entry(keeper)])
    assert shown(session, on(keeper, 1), []) == [("birth-1", 1, True)]
    assert shown(session, on(keeper, 31), []) == [("birth-1", 1, True)]
    assert shown(session, on(keeper, 32), []) == []


def test_a_window_that_comes_back_is_no_longer_cancelled(session: RoomSession, keeper: Actor) -> None:
    shown(session, keeper, [entry(keeper)])
    shown(session, keeper, [])
    assert shown(session, keeper, [entry(keeper)]) == [("birth-1", 2, False)]


def test_a_window_that_is_over_stays_a_while_and_was_not_cancelled(
    session: RoomSession, keeper: Actor
) -> None:
    shown(session, keeper, [entry(keeper)])
    assert shown(session, on(keeper, 12), []) == [("birth-1", 0, False)]
    assert shown(session, on(keeper, 42), []) == []


def test_an_address_shows_only_its_kinds(session: RoomSession, keeper: Actor) -> None:
    entries = [entry(keeper), entry(keeper, "ready-4"), entry(keeper, "project-1")]
    assert [uid for uid, _, _ in shown(session, keeper, entries, "ready")] == ["ready-4"]
    assert [uid for uid, _, _ in shown(session, keeper, entries, "project")] == ["project-1"]
    assert len(shown(session, keeper, entries)) == 3


def test_two_calendars_at_once_are_told_the_same(tmp_path: Path) -> None:
    url = own_url(tmp_path, "calendars")
    migrated(url).dispose()
    engine = make_engine(url)
    with make_sessions(engine)() as session:
        keeper = People(session).keeper
        session.commit()
    ready = threading.Barrier(4)
    told: list[list[tuple[str, int]]] = []

    def ask() -> None:
        with make_sessions(writing(engine))() as session:
            enter(session, keeper.fishroom_id)
            ready.wait()
            found = feeds.remember_told(session, keeper, [entry(keeper, f"birth-{n}") for n in range(9)])
            session.commit()
            told.append([(row.uid, row.sequence) for row in found])

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with make_sessions(engine)() as session:
        assert len(session.scalars(select(CalendarEvent)).all()) == 9
    engine.dispose()
    emptied(url)
    assert len(told) == 4
    assert all(sorted(each) == sorted(told[0]) for each in told)
