"""Every route has a test: some page test or journey opens it, or sends a form to it."""

import ast
from collections.abc import Iterator

import pytest
from flask import Flask
from werkzeug.exceptions import HTTPException
from werkzeug.routing import MapAdapter, RequestRedirect

from tests.repo.sources import python_files, tree

LOOKS = {"open", "get", "goto"}
EXCEPT = {"static"}
"""Served by the framework; every page asks for its style."""


def paths(module: ast.Module) -> Iterator[tuple[str, frozenset[str]]]:
    """Return every path that a test names, and the methods it may be sent with.

    A path handed to a call that only looks counts as looked at; any other as both, since forms are
    sent to the address they were opened at. What is filled into a path counts as the number 1.
    """
    looked = {
        id(part)
        for node in ast.walk(module)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in LOOKS
        for part in node.args
    }
    inside = {
        id(part) for node in ast.walk(module) if isinstance(node, ast.JoinedStr) for part in ast.walk(node)
    } - {id(node) for node in ast.walk(module) if isinstance(node, ast.JoinedStr)}
    for node in ast.walk(module):
        path = _text(node) if id(node) not in inside else ""
        if path.startswith(("/", "1/")):
            methods = frozenset({"GET"}) if id(node) in looked else frozenset({"GET", "POST"})
            yield path.removeprefix("1").split("?")[0], methods


def _text(node: ast.AST) -> str:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(_text(part) if isinstance(part, ast.Constant) else "1" for part in node.values)
    return ""


def reached(adapter: MapAdapter, path: str, methods: frozenset[str]) -> set[str]:
    """Return the endpoints that a path leads to."""
    found = set()
    for method in methods:
        try:
            found.add(str(adapter.match(path, method=method)[0]))
        except (HTTPException, RequestRedirect):
            continue
    return found


def test_every_route_has_a_test(app: Flask) -> None:
    adapter = app.url_map.bind("localhost")
    tested = {
        endpoint
        for file in python_files("tests/web", "tests/journeys")
        if file.name != "test_access.py"
        for path, methods in paths(tree(file))
        for endpoint in reached(adapter, path, methods)
    }
    routes = {rule.endpoint for rule in app.url_map.iter_rules()}
    assert routes - tested - EXCEPT == set()


@pytest.mark.parametrize(
    ("line", "endpoints"),
    [
        ('visit.open(f"/tanks/{tank.id}/edit")', {"tanks.edit"}),
        ('visit.send(f"/tanks/{tank.id}/edit", name="B")', {"tanks.edit", "tanks.change"}),
        ('visit.open("/tanks?sort=name")', {"tanks.listing"}),
        ('visit.post(f"/history/{act}/undo")', {"history.undo"}),
        ('say("nothing of the kind")', set()),
    ],
)
def test_a_path_in_a_test_is_told_from_words(app: Flask, line: str, endpoints: set[str]) -> None:
    adapter = app.url_map.bind("localhost")
    found = [reached(adapter, path, methods) for path, methods in paths(ast.parse(line))]
    assert set().union(*found) == endpoints
