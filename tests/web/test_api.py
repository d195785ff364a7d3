"""The interface for loggers: a token, JSON, and nothing else."""

from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from freezegun import freeze_time
from werkzeug.test import TestResponse

from app.core.loggers.description import MOST_BYTES
from app.services import loggers
from app.store.readings import Logger, Reading
from app.store.session import rows
from app.web.api import MESSAGES, WRONG_TOKENS
from app.web.security import HEADERS
from tests.conftest import NOON
from tests.factories import Made
from tests.support.client import signed_in

ITEM: dict[str, Any] = {"tank": "Rack", "quantity": "temperature", "value": 24.5, "at": NOON.isoformat()}


@pytest.fixture
def token(made: Made) -> str:
    made.tank("Rack")
    found = loggers.add_logger(made.session, made.actor, name="Probe")
    made.session.commit()
    return found


def send(app: Flask, token: str, body: Any = ITEM, **more: Any) -> TestResponse:  # noqa: ANN401
    headers = {"Authorization": f"Bearer {token}", **more.pop("headers", {})}
    given = {"data": body} if isinstance(body, str | bytes) else {"json": body}
    return app.test_client().post("/api/readings", headers=headers, **given, **more)


def test_a_reading_is_stored_once_without_signing_in(app: Flask, token: str, made: Made) -> None:
    first, again = send(app, token), send(app, token, [ITEM, ITEM])
    assert (first.status_code, first.json) == (200, {"stored": 1, "repeated": 0})
    assert (again.status_code, again.json) == (200, {"stored": 0, "repeated": 2})
    assert [r.value for r in rows(made.session, Reading)] == [24.5]


def test_the_answer_carries_the_headers_of_every_page_and_opens_to_no_other_site(
    app: Flask, token: str
) -> None:
    answer = send(app, token, headers={"Origin": "https://elsewhere.example"})
    assert answer.status_code == 200
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
    assert not [name for name, _ in answer.headers if name.lower().startswith("access-control")]
    assert "Set-Cookie" not in answer.headers
    asked = app.test_client().options("/api/readings", headers={"Origin": "https://elsewhere.example"})
    assert not [name for name, _ in asked.headers if name.lower().startswith("access-control")]


@pytest.mark.parametrize(
    "header", [None, "", "Bearer", "Bearer guessed", "Basic a2VlcGVyOng=", "Bearer \xff"]
)
def test_no_token_or_a_wrong_one_is_told_so(app: Flask, token: str, header: str | None) -> None:
    headers = {} if header is None else {"Authorization": header}
    answer = app.test_client().post("/api/readings", json=ITEM, headers=headers)
    assert answer.status_code == 401
    assert answer.headers["WWW-Authenticate"].lower().startswith("bearer")
    assert "token" in (answer.json or {})["error"]


def test_a_revoked_token_no_longer_works(app: Flask, token: str, made: Made) -> None:
    loggers.revoke_logger(made.session, made.actor, rows(made.session, Logger)[0].id)
    made.session.commit()
    assert send(app, token).status_code == 401


def test_a_token_opens_nothing_but_readings(app: Flask, token: str) -> None:
    headers = {"Authorization": f"Bearer {token}"}
    assert app.test_client().get("/tanks", headers=headers).status_code == 303
    assert app.test_client().post("/tanks/new", headers=headers).status_code == 403


def test_a_signed_in_browser_without_a_token_stores_nothing(app: Flask, made: Made, token: str) -> None:
    client = app.test_client()
    with client.session_transaction() as kept:
        kept.update(signed_in(app, made.actor))
    assert client.post("/api/readings", json=ITEM).status_code == 401


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"value": 77}, "items[1].value"),
        ({"tank": "Nowhere"}, "items[1].tank"),
        ({"tank": "\ud800"}, "items[1].tank"),
        ({"at": (NOON + timedelta(minutes=11)).isoformat()}, "items[1].at"),
    ],
)
def test_what_cannot_be_is_named_and_nothing_is_stored(
    app: Flask, token: str, made: Made, change: dict[str, Any], field: str
) -> None:
    answer = send(app, token, [ITEM, {**ITEM, **change}])
    assert answer.status_code == 422
    assert (answer.json or {})["field"] == field
    assert rows(made.session, Reading) == []


@pytest.mark.parametrize(
    "body", ["", "{", "NaN", b"\xff\xfe", "[" * 100_000, '{"value": 1' + "0" * 5000 + "}"]
)
def test_what_is_no_json_is_told_so(app: Flask, token: str, body: str) -> None:
    answer = send(app, token, body, content_type="application/json")
    assert answer.status_code in {400, 422}
    assert answer.mimetype == "application/json"


def test_another_type_is_told_so(app: Flask, token: str) -> None:
    assert send(app, token, "a=b", content_type="application/x-www-form-urlencoded").status_code == 415


def test_too_much_at_once_is_told_so(app: Flask, token: str) -> None:
    assert send(app, token, [ITEM] * 10_001).status_code == 413
    assert send(app, token, " " * (MOST_BYTES + 1), content_type="application/json").status_code == 413


def test_ten_thousand_at_once_are_stored(app: Flask, token: str, made: Made) -> None:
    items = [{**ITEM, "at": (NOON - timedelta(minutes=5 * n)).isoformat()} for n in range(10_000)]
    assert send(app, token, items).json == {"stored": 10_000, "repeated": 0}


def test_who_sends_too_often_waits(app: Flask, token: str) -> None:
    answers = [send(app, token).status_code for _ in range(MESSAGES)]
    assert set(answers) == {200}
    late = send(app, token)
    assert late.status_code == 429
    assert int(late.headers["Retry-After"]) == 60
    with freeze_time(NOON + timedelta(seconds=61)):
        assert send(app, token).status_code == 200


def test_who_guesses_tokens_is_slowed_down_and_others_are_not(app: Flask, token: str) -> None:
    answers = [send(app, f"guess{n}").status_code for n in range(WRONG_TOKENS + 1)]
    assert answers[-2:] == [401, 429]
    assert send(app, token).status_code == 200


def test_the_interface_answers_a_program_in_its_language(app: Flask) -> None:
    for answer in (app.test_client().get("/api/readings"), app.test_client().get("/api/nothing")):
        assert answer.status_code in {404, 405}
        assert "error" in (answer.json or {})


def test_the_description_is_there_for_everyone(app: Flask) -> None:
    answer = app.test_client().get("/api/openapi.json")
    assert (answer.json or {})["openapi"] == "3.1.0"
    assert (answer.json or {})["servers"] == [{"url": app.config["ADDRESS"]}]
