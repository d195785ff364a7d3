"""The Methods page tells every model there is, each with its words, formulas and sources."""

import importlib
import pkgutil

import pytest

import app.core
from app.core.method import Method
from app.core.methods import METHODS


def declared() -> dict[str, Method]:
    """Return every method that a module of the core declares."""
    found = {}
    for module in pkgutil.walk_packages(app.core.__path__, "app.core."):
        for value in vars(importlib.import_module(module.name)).values():
            if isinstance(value, Method):
                found[value.key] = value
    return found


def test_every_declared_method_is_collected_under_its_own_key() -> None:
    assert dict(METHODS) == declared()


@pytest.mark.parametrize("method", METHODS.values(), ids=METHODS.keys())
def test_every_method_has_words_formulas_and_sources(method: Method) -> None:
    assert method.title
    assert all(line.endswith((".", "?")) for line in method.words)
    assert method.formulas
    assert method.sources
    assert not method.caution or method.caution.endswith(".")
