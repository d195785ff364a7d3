"""The interface keeps to its own description, whatever is thrown at it."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)

from app.services import loggers
from app.web.throttle import Throttle
from tests.conftest import NOON
from tests.factories import Made

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
    negative_data_rejection,
    unsupported_method,
]
REFUSALS = [400, 401, 413, 415, 422]
CONFIG = schemathesis.Config.from_dict(
    {"checks": {"negative_data_rejection": {"expected-statuses": REFUSALS}}}
)
EXAMPLES = 40
Headers = dict[str, str]


@pytest.fixture
def headers(app: Flask, made: Made) -> Headers:
    made.tank("Rack")
    token = loggers.add_logger(made.session, made.actor, name="Probe")
    made.session.commit()
    app.extensions["messages"] = Throttle(limit=10_000, seconds=60)
    return {"Authorization": f"Bearer {token}"}


def cases(app: Flask, mode: GenerationMode) -> st.SearchStrategy[Case[Any]]:
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", app, config=CONFIG)
    return schema["/api/readings"]["POST"].as_strategy(generation_mode=mode)


def thrown(strategy: st.SearchStrategy[Any], check: Callable[[Any], None]) -> None:
    """Try a bounded number of cases, the same ones every time."""
    quiet = settings(
        max_examples=EXAMPLES,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    quiet(given(strategy)(check))()


@pytest.mark.parametrize("mode", list(GenerationMode))
def test_every_answer_is_a_described_one(app: Flask, headers: Headers, mode: GenerationMode) -> None:
    def check(case: Case[Any]) -> None:
        case.call_and_validate(headers=headers, checks=CHECKS)

    thrown(cases(app, mode), check)


def test_whatever_is_described_is_stored(app: Flask, headers: Headers) -> None:
    """Only the tank and the moment, which no description can know, are put right first."""

    def check(case: Case[Any]) -> None:
        body: Any = case.body
        sent = body if isinstance(body, list) else [body]
        for place, item in enumerate(sent):
            item.update(tank="Rack", at=(NOON - timedelta(minutes=place)).isoformat())
        answer = app.test_client().post("/api/readings", json=case.body, headers=headers)
        assert answer.status_code == 200, (case.body, answer.json)
        assert sum((answer.json or {}).values()) == len(sent)

    thrown(cases(app, GenerationMode.POSITIVE), check)
