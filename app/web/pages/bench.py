"""The water bench: calculators whose answers have an address of their own, for any water or a real tank."""

from flask import Blueprint, abort, request, url_for

from app.core.methods import METHODS
from app.core.reminders.hatches import day_key
from app.queries.bench.catalogue import CALCULATORS, SHELVES
from app.queries.bench.tank import FILLS, BenchTank, actions, bench_tank, filled
from app.queries.choices import open_tanks
from app.web.db import db
from app.web.forms.bench import FORMS
from app.web.forms.choosing import row
from app.web.signin import actor
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
    tank = _tank() if key in FILLS else None
    form, about = FORMS[key](filled(key, tank) if tank is not None else None), CALCULATORS[key]
    answer = form.answered()
    example = f"{url_for('bench.calculator', key=key)}?{about.example}"
    methods = tuple(METHODS[name] for name in about.methods)
    render = again if form.errors else show
    template = "pages/bench/calculator.html"
    return render(
        template,
        page=about,
        form=form,
        answer=answer,
        example=example,
        methods=methods,
        tank=tank,
        tanks=open_tanks(db()) if key in FILLS else (),
        hatch_key=day_key(actor().today) if key == "brine-shrimp" else "",
        actions=actions(tank, answer.logs) if tank is not None and answer is not None else (),
    )


def _tank() -> BenchTank | None:
    """Return the tank in the address, if there is one."""
    number = request.args.get("tank", type=row)
    return None if number is None else bench_tank(db(), actor(), number)
