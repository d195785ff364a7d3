"""Loads pint's tables once, so that no single test is charged for them."""

import pytest

from app.core.quantities.units import factor


@pytest.fixture(scope="session", autouse=True)
def _tables() -> None:
    factor("gallon", "litre")
