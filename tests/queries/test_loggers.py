"""Which loggers fell silent."""

from datetime import timedelta

from app.core.logger_files import Row
from app.queries.loggers import loggers_page, silent_loggers
from app.services import loggers
from app.services.logger_files import import_file
from app.store.actor import Actor
from app.store.readings import Logger
from app.store.session import RoomSession, rows
from tests.conftest import NOON
from tests.factories import Made


def heard_ago(session: RoomSession, actor: Actor, name: str, hours: float | None) -> Logger:
    loggers.add_logger(session, actor, name=name)
    (found,) = rows(session, Logger, Logger.name == name)
    found.heard_at = None if hours is None else NOON - timedelta(hours=hours)
    return found


def test_only_a_device_that_sent_and_stopped_is_silent(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    heard_ago(session, keeper, "new", None)
    heard_ago(session, keeper, "well", 23.9)
    stopped = heard_ago(session, keeper, "stopped", 24.1)
    heard_ago(session, keeper, "shut out", 48).revoked_at = NOON
    import_file(session, keeper, made.tank().id, name="a.csv", text="a", read=[Row(2, NOON, 24.0)])
    (fact,) = silent_loggers(session, keeper)
    assert (fact.id, fact.heard_on) == (stopped.id, made.days_ago(1))


def test_devices_files_and_the_revoked_are_told_apart(
    session: RoomSession, keeper: Actor, made: Made
) -> None:
    heard_ago(session, keeper, "well", 1)
    heard_ago(session, keeper, "shut out", 48).revoked_at = NOON
    import_file(session, keeper, made.tank("Rack").id, name="a.csv", text="a", read=[Row(2, NOON, 24.0)])
    page = loggers_page(session, keeper)
    names = [[one.name for one in kind] for kind in (page.loggers, page.revoked, page.files)]
    assert names == [["well"], ["shut out"], ["a.csv"]]
    assert (page.files[0].words, page.files[0].tank) == ("1 reading", "Rack")
