"""Every template compiles, and everything it takes in is there."""

import pytest
from flask import Flask
from jinja2 import nodes

from tests.repo.sources import ROOT, name

TEMPLATES = sorted(path for path in (ROOT / "templates").rglob("*") if path.suffix in {".html", ".txt"})


@pytest.fixture(params=TEMPLATES, ids=name)
def template(request: pytest.FixtureRequest) -> str:
    """The name of one template."""
    return str(request.param.relative_to(ROOT / "templates").as_posix())


def test_a_template_compiles(app: Flask, template: str) -> None:
    assert app.jinja_env.get_template(template).name == template


def test_what_a_template_takes_in_is_there(app: Flask, template: str) -> None:
    loader = app.jinja_env.loader
    assert loader is not None
    source = loader.get_source(app.jinja_env, template)[0]
    taking = (nodes.Extends, nodes.Include, nodes.Import, nodes.FromImport)
    for node in app.jinja_env.parse(source).find_all(taking):
        wanted = node.template  # type: ignore[attr-defined]
        if isinstance(wanted, nodes.Const):
            assert app.jinja_env.get_template(str(wanted.value)).name == wanted.value
