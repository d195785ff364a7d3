"""The loggers page: let in, shown once, shut out."""

import re
import shlex
from datetime import timedelta

from app.services import loggers
from app.store.readings import Logger, Reading
from app.store.session import rows
from tests.conftest import NOON
from tests.factories import Made
from tests.support.client import Page, Visitor


def added(visit: Visitor, **fields: object) -> Page:
    return visit.send("/settings/loggers", **{"name": "Rack probe", "tank_id": "", **fields})


def command(page: Page) -> list[str]:
    """Return the words of the example, as a shell would read them."""
    (code,) = page.all("pre")
    return shlex.split("".join(code.itertext()))


def test_the_example_that_is_shown_works_as_it_stands(visit: Visitor, made: Made) -> None:
    made.tank("Cellar’s rack 'A'")
    made.session.commit()
    words = command(added(visit))
    headers = dict(words[n + 1].split(": ", 1) for n, word in enumerate(words) if word == "-H")
    path = words[1].removeprefix(visit.app.config["ADDRESS"])
    answer = visit.app.test_client().post(path, data=words[-1], headers=headers)
    assert answer.json == {"stored": 1, "repeated": 0}
    assert [r.value for r in rows(made.session, Reading)] == [24.5]


def test_a_token_is_shown_once(visit: Visitor, made: Made) -> None:
    tank = made.tank()
    made.session.commit()
    page = added(visit, tank_id=str(tank.id))
    token = re.search(r"Bearer ([\w-]+)", page.text)
    assert token is not None
    assert '"tank"' not in " ".join(command(page))
    later = visit.open("/settings/loggers")
    assert token[1] not in later.text
    assert "Rack probe" in later.words
    assert "Not heard yet" in later.words


def test_a_name_that_is_taken_is_refused_and_kept(visit: Visitor) -> None:
    added(visit)
    page = added(visit)
    assert page.status == 422
    assert page.value("name") == "Rack probe"


def test_the_page_tells_who_was_heard_when_and_how_often(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack")
    token = loggers.add_logger(made.session, made.actor, name="Probe", tank_id=tank.id)
    made.session.commit()
    item = {"quantity": "temperature", "value": 24, "at": NOON.isoformat()}
    visit.app.test_client().post("/api/readings", json=item, headers={"Authorization": f"Bearer {token}"})
    assert "Heard just now. 1 reading, Rack" in visit.open("/settings/loggers").words
    rows(made.session, Logger)[0].heard_at = NOON - timedelta(days=3)
    made.session.commit()
    assert "last heard 3 days ago, 14:00" in visit.open("/settings/loggers").words


def test_a_revoked_logger_is_told_apart(visit: Visitor, made: Made) -> None:
    added(visit)
    (logger,) = rows(made.session, Logger)
    page = visit.post(f"/settings/loggers/{logger.id}/revoke", "/settings/loggers")
    assert "no longer works" in page.words
    assert "Revoked" in page.words
    made.session.refresh(logger)
    assert logger.revoked_at == NOON


def test_helpers_look_and_do_not_let_in(helping: Visitor) -> None:
    page = helping.open("/settings/loggers")
    assert "Add a logger" not in page.words
    assert helping.post("/settings/loggers", "/settings/loggers", name="Mine").status == 403


def test_a_silent_logger_stands_on_the_rounds_until_it_is_answered(visit: Visitor, made: Made) -> None:
    tank = made.tank("Rack")
    loggers.add_logger(made.session, made.actor, name="Probe", tank_id=tank.id)
    rows(made.session, Logger)[0].heard_at = NOON - timedelta(days=2)
    made.session.commit()
    page = visit.open("/")
    assert "has sent nothing since 13 June" in page.words
    key = next(f.get("value") for f in page.all("input") if f.get("name") == "key")
    fields = {"key": key, "rule": "logger_silent", "subject": "logger:1", "words": "", "kind": "done"}
    visit.post("/reminders", "/", next="/", **fields)
    assert "has sent nothing" not in visit.open("/").words
