"""Makes a skipped test fail where nothing may be missing: BROODWATER_NO_SKIPS=1, as in CI."""

import os
from collections.abc import Generator
from typing import TypeVar

import pytest

ALLOWED = "only on"
"""A test that belongs to one of the two databases says ``only on PostgreSQL`` or ``only on SQLite``."""


R = TypeVar("R", pytest.TestReport, pytest.CollectReport)


def strict(report: R) -> R:
    """Return the report; a skip that hides something missing becomes a failure."""
    if os.environ.get("BROODWATER_NO_SKIPS") != "1" or not report.skipped or hasattr(report, "wasxfail"):
        return report
    told = report.longrepr
    where, line, why = told if isinstance(told, tuple) else ("", 0, str(told))
    if why.removeprefix("Skipped: ").startswith(ALLOWED):
        return report
    report.outcome = "failed"
    report.longrepr = f"{where}:{line}: skipped where nothing may be skipped: {why}"
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Look at every test."""
    return strict((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Look at every module."""
    return strict((yield))
