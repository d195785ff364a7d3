"""Where nothing may be missing, a skip fails."""

import pytest
from _pytest.reports import TestReport

from tests.support.skips import strict


def report(why: str) -> TestReport:
    return TestReport("it", ("it.py", 1, "it"), {}, "skipped", ("it.py", 2, f"Skipped: {why}"), "call")


@pytest.mark.parametrize(
    ("setting", "why", "outcome"),
    [
        ("1", "no Chromium", "failed"),
        ("1", "only on PostgreSQL", "skipped"),
        ("", "no Chromium", "skipped"),
    ],
)
def test_a_skip_fails_only_where_nothing_may_be_missing(
    monkeypatch: pytest.MonkeyPatch, setting: str, why: str, outcome: str
) -> None:
    monkeypatch.setenv("BROODWATER_NO_SKIPS", setting)
    assert strict(report(why)).outcome == outcome
