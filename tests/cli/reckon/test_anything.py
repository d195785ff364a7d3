"""Whatever its schema admits, a subject answers by its schema or refuses in words; it never breaks."""

import json
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from app.cli.reckon.registry import SUMMARIES, subject
from app.core.problems import Problem
from tests.cli.reckon.drawn import admitted


@pytest.mark.parametrize("name", SUMMARIES)
def test_whatever_the_schema_admits_is_answered_by_the_schema_or_refused(name: str) -> None:
    asked = subject(name)
    accepts, returns = (Draft202012Validator(field.schema) for field in (asked.accepts, asked.returns))

    @settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
    @given(st.data())
    def tried(data: st.DataObject) -> None:
        item: Any = data.draw(admitted(asked.accepts.schema))
        accepts.validate(item)
        with suppress(Problem):
            returns.validate(json.loads(asked.line(item, 0)))

    tried()
