"""The water bench: calculators whose answers have an address of their own."""

from flask import Blueprint, abort, url_for

from app.core.methods import METHODS
from app.queries.bench.catalogue import CALCULATORS, SHELVES
from app.web.forms.bench import FORMS
from app.web.views import View, again, show

pages = Blueprint("bench", __name__)


@pages.get("/water-bench")
def page() -> View:
    """List the calculators in plain words."""
    return show("pages/bench/page.html", shelves=SHELVES)


@pages.get("/water-bench/<key>")
def calculator(key: str) -> View:
    """Ask for the figures; answer when they are given."""
    if key not in FORMS:
        abort(404)
    form, about = FORMS[key](), CALCULATORS[key]
    answer = form.answered()
    example = f"{url_for('bench.calculator', key=key)}?{about.example}"
    methods = tuple(METHODS[name] for name in about.methods)
    render = again if form.errors else show
    template = "pages/bench/calculator.html"
    return render(template, page=about, form=form, answer=answer, example=example, methods=methods)
