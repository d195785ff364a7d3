"""Tanks: the list, one tank, and setting them up."""

from flask import Blueprint, url_for

from app.queries.tanks import tank_shown, tanks_page
from app.services import tanks
from app.store.tanks import SectionKind
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.tanks import SectionForm, TankEditForm, TankForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("tanks", __name__)


@pages.get("/tanks")
def listing() -> View:
    """Show every tank in walking order."""
    return show("pages/tanks/listing.html", page=tanks_page(db(), actor()))


@pages.get("/tanks/new")
def new() -> View:
    """Ask for a new tank."""
    return show("pages/tanks/new.html", form=TankForm())


@pages.post("/tanks/new")
def add() -> View:
    """Put up a tank."""
    form = TankForm()
    made = attempt(
        form,
        lambda: tanks.add_tank(
            db(),
            actor(),
            name=text(form.name),
            litres=form.litres.data,
            sections=form.sections.data or 1,
            set_point_c=form.set_point_c.data,
            quarantine=form.quarantine.data,
            note=text(form.note),
        ),
    )
    if made is None:
        return again("pages/tanks/new.html", form=form)
    return done(url_for("tanks.page", tank_id=made.id))


@pages.get("/tanks/<int:tank_id>")
def page(tank_id: int) -> View:
    """Show one tank."""
    return show("pages/tanks/page.html", page=tank_shown(db(), actor(), tank_id), form=SectionForm())


@pages.get("/tanks/<int:tank_id>/edit")
def edit(tank_id: int) -> View:
    """Ask what changes."""
    tank = tank_shown(db(), actor(), tank_id)
    return show("pages/tanks/edit.html", page=tank, form=TankEditForm(obj=tank))


@pages.post("/tanks/<int:tank_id>/edit")
def change(tank_id: int) -> View:
    """Change a tank."""
    form = TankEditForm()
    made = attempt(
        form,
        lambda: tanks.edit_tank(
            db(),
            actor(),
            tank_id,
            name=text(form.name),
            litres=form.litres.data,
            position=form.position.data or 1,
            set_point_c=form.set_point_c.data,
            quarantine=form.quarantine.data,
            note=text(form.note),
        ),
    )
    if made is None:
        return again("pages/tanks/edit.html", page=tank_shown(db(), actor(), tank_id), form=form)
    return done(url_for("tanks.page", tank_id=made.id))


@pages.post("/tanks/<int:tank_id>/sections")
def add_section(tank_id: int) -> View:
    """Add a divider or a fry box."""
    form = SectionForm()
    made = attempt(
        form,
        lambda: tanks.add_section(
            db(),
            actor(),
            tank_id,
            name=text(form.name),
            kind=SectionKind(form.kind.data),
            gap_mm=form.gap_mm.data,
        ),
    )
    if made is None:
        return again("pages/tanks/page.html", page=tank_shown(db(), actor(), tank_id), form=form)
    return done(url_for("tanks.page", tank_id=tank_id))


@pages.post("/sections/<int:section_id>/close")
def close_section(section_id: int) -> View:
    """Take a section out."""
    form = ActForm()
    made = attempt(form, lambda: tanks.close_section(db(), actor(), section_id))
    if made is None:
        return refused(url_for("tanks.listing"), form)
    return done(url_for("tanks.page", tank_id=made.tank_id))


@pages.post("/tanks/<int:tank_id>/close")
def close(tank_id: int) -> View:
    """Take a tank down."""
    form = ActForm()
    if attempt(form, lambda: tanks.close_tank(db(), actor(), tank_id)) is None:
        return refused(url_for("tanks.page", tank_id=tank_id), form)
    return done(url_for("tanks.listing"))
