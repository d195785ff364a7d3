"""Only entry points commit: pages, commands and the demo."""

import ast
from collections.abc import Iterator

import pytest

from tests.repo.sources import name, python_files, tree

ENTRY_POINTS = ("app/cli/", "app/web/pages/", "app/web/views.py", "seed_demo/")
ENDING = {"commit", "begin"}
"""``with session.begin():`` commits too, at its end."""


def endings(module: ast.Module) -> Iterator[int]:
    """Return the lines on which a transaction is committed."""
    for node in ast.walk(module):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in ENDING:
            yield node.lineno


def test_nothing_but_entry_points_commits() -> None:
    found = [
        f"{name(path)}:{line}"
        for path in python_files("app", "seed_demo")
        if not name(path).startswith(ENTRY_POINTS)
        for line in endings(tree(path))
    ]
    assert found == []


def test_entry_points_do_commit() -> None:
    committing = {name(path) for path in python_files("app") if any(endings(tree(path)))}
    assert {"app/web/views.py", "app/cli/serve.py"} <= committing


@pytest.mark.parametrize(
    "line", ["session.commit()", "with db().begin():\n    pass", "self.session.commit()"]
)
def test_a_commit_is_found(line: str) -> None:
    assert list(endings(ast.parse(line))) == [1]


@pytest.mark.parametrize("line", ["session.flush()", "with session.begin_nested():\n    pass", "commit = 1"])
def test_what_ends_nothing_is_left_alone(line: str) -> None:
    assert list(endings(ast.parse(line))) == []
