"""Waters and substances: the list, and setting them up."""

from flask import Blueprint, url_for

from app.queries.waters import waters_page
from app.services import substances, waters
from app.store.session import find
from app.store.waters import SourceWater, Substance
from app.web.db import db
from app.web.forms.base import ActForm
from app.web.forms.waters import SubstanceForm, WaterForm, begun
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, refused, show

pages = Blueprint("waters", __name__)
WATER, SUBSTANCE = "pages/waters/water.html", "pages/waters/substance.html"


def _home() -> str:
    return back(url_for("waters.listing"))


@pages.get("/waters")
def listing() -> View:
    """Show every water and substance."""
    return show("pages/waters/listing.html", page=waters_page(db(), actor()))


@pages.get("/waters/new")
def new_water() -> View:
    """Ask for a new water."""
    actor().must_manage()
    return show(WATER, page=None, form=WaterForm(salinity_g_per_l=0.0))


@pages.post("/waters/new")
def add_water() -> View:
    """Add a water."""
    form = WaterForm()
    made = attempt(form, lambda: waters.add_water(db(), actor(), form.given()))
    return again(WATER, page=None, form=form) if made is None else done(_home())


@pages.get("/waters/<int:water_id>/edit")
def edit_water(water_id: int) -> View:
    """Ask what of a water changes."""
    water = find(db(), SourceWater, water_id)
    actor().must_manage()
    return show(WATER, page=water, form=WaterForm(obj=water))


@pages.post("/waters/<int:water_id>/edit")
def change_water(water_id: int) -> View:
    """Change a water."""
    water, form = find(db(), SourceWater, water_id), WaterForm()
    made = attempt(form, lambda: waters.change_water(db(), actor(), water_id, form.given(water)))
    return again(WATER, page=water, form=form) if made is None else done(_home())


@pages.post("/waters/<int:water_id>/retire")
def retire_water(water_id: int) -> View:
    """Put a water away."""
    form = ActForm()
    made = attempt(form, lambda: waters.retire_water(db(), actor(), water_id))
    return refused(_home(), form) if made is None else done(_home())


@pages.post("/waters/<int:water_id>/bring-back")
def bring_back_water(water_id: int) -> View:
    """Offer a water again."""
    form = ActForm()
    made = attempt(form, lambda: waters.bring_back_water(db(), actor(), water_id))
    return refused(_home(), form) if made is None else done(_home())


@pages.get("/substances/new")
def new_substance() -> View:
    """Ask for a new substance."""
    actor().must_manage()
    return show(SUBSTANCE, page=None, form=SubstanceForm())


@pages.post("/substances/new")
def add_substance() -> View:
    """Add a substance."""
    form = SubstanceForm()
    made = attempt(form, lambda: substances.add_substance(db(), actor(), form.given(actor())))
    return again(SUBSTANCE, page=None, form=form) if made is None else done(_home())


@pages.get("/substances/<int:substance_id>/edit")
def edit_substance(substance_id: int) -> View:
    """Ask what of a substance changes."""
    substance = find(db(), Substance, substance_id)
    actor().must_manage()
    return show(SUBSTANCE, page=substance, form=SubstanceForm(data=begun(substance)))


@pages.post("/substances/<int:substance_id>/edit")
def change_substance(substance_id: int) -> View:
    """Change a substance."""
    substance, form = find(db(), Substance, substance_id), SubstanceForm()
    made = attempt(
        form, lambda: substances.change_substance(db(), actor(), substance_id, form.given(actor(), substance))
    )
    return again(SUBSTANCE, page=substance, form=form) if made is None else done(_home())


@pages.post("/substances/<int:substance_id>/retire")
def retire_substance(substance_id: int) -> View:
    """Put a substance away."""
    form = ActForm()
    made = attempt(form, lambda: substances.retire_substance(db(), actor(), substance_id))
    return refused(_home(), form) if made is None else done(_home())


@pages.post("/substances/<int:substance_id>/bring-back")
def bring_back_substance(substance_id: int) -> View:
    """Offer a substance again."""
    form = ActForm()
    made = attempt(form, lambda: substances.bring_back_substance(db(), actor(), substance_id))
    return refused(_home(), form) if made is None else done(_home())
