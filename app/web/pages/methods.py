"""Methods: every model in plain words, with its formula and sources."""

from flask import Blueprint, abort

from app.core.methods import GROUPS, METHODS
from app.core.species import GRADES, SPECIES
from app.core.species_words import by_source
from app.web.views import View, show

pages = Blueprint("methods", __name__)


@pages.get("/methods")
def page() -> View:
    """List the models and the species table."""
    return show("pages/methods/page.html", groups=GROUPS, species=tuple(SPECIES.values()))


@pages.get("/methods/<key>")
def method(key: str) -> View:
    """Tell one model."""
    if key not in METHODS:
        abort(404)
    return show("pages/methods/method.html", method=METHODS[key])


@pages.get("/methods/species/<key>")
def species(key: str) -> View:
    """Show where each number of one species comes from."""
    if key not in SPECIES:
        abort(404)
    return show(
        "pages/methods/species.html", species=SPECIES[key], told=by_source(SPECIES[key]), grades=GRADES
    )
