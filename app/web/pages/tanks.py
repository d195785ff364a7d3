"""Tanks: the list, one tank, and setting them up."""

from typing import Any

from flask import Blueprint, current_app, request, url_for

from app.queries.tank_list import tank_list
from app.queries.tank_page import tank_page
from app.queries.tanks import TankToEdit, tank_shown, tank_to_edit, tanks_page
from app.services import tanks
from app.store.tanks import SectionKind, Tank
from app.web.db import db
from app.web.forms.amounts import unrounded
from app.web.forms.base import ActForm, text
from app.web.forms.choosing import picked
from app.web.forms.readings import ReadingForm
from app.web.forms.tanks import GapForm, SectionForm, TankEditForm, TankForm
from app.web.qr import qr
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("tanks", __name__)


@pages.get("/tanks")
def listing() -> View:
    """Show every tank in walking order."""
    return show("pages/tanks/listing.html", page=tank_list(db(), actor()))


@pages.get("/tanks/order")
def order() -> View:
    """Show the walking order, to be changed."""
    actor().must_manage()
    return show("pages/tanks/order.html", page=tanks_page(db(), actor()))


@pages.post("/tanks/<int:tank_id>/place")
def place(tank_id: int) -> View:
    """Move a tank up or down the walk."""
    form = ActForm()
    up = request.form.get("way") == "up"
    made = attempt(form, lambda: tanks.reorder(db(), actor(), tank_id, up=up))
    home = url_for("tanks.order")
    return refused(home, form) if made is None else done(home)


@pages.get("/tanks/new")
def new() -> View:
    """Ask for a new tank."""
    actor().must_manage()
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
            life=form.life(),
        ),
    )
    if made is None:
        return again("pages/tanks/new.html", form=form)
    return done(url_for("tanks.page", tank_id=made.id))


@pages.get("/tanks/<int:tank_id>")
def page(tank_id: int) -> View:
    """Show one tank."""
    return show("pages/tanks/page.html", **_shown(tank_id), form=SectionForm())


def _shown(tank_id: int) -> dict[str, Any]:
    """Return what the tank's page needs beside the form of a section."""
    span, every = request.args.get("span", ""), request.args.get("history") == "all"
    found = tank_page(db(), actor(), tank_id, span=span, every=every)
    gap = GapForm()
    gap.offer([(section.id, section.name) for section in found.tank.sections[1:]])
    return {"page": found, "reading": ReadingForm(), "gap": gap}


@pages.get("/tanks/<int:tank_id>/label")
def label(tank_id: int) -> View:
    """Show a label to print, with a code that opens the tank's page."""
    link = f"{current_app.config['ADDRESS']}{url_for('tanks.page', tank_id=tank_id)}"
    found = tank_shown(db(), actor(), tank_id)
    return show("print/tank_label.html", page=found, link=link, code=qr(link, f"Opens {link}"))


@pages.get("/tanks/<int:tank_id>/edit")
def edit(tank_id: int) -> View:
    """Ask what changes."""
    tank = tank_to_edit(db(), tank_id)
    actor().must_manage()
    return show("pages/tanks/edit.html", page=tank, form=TankEditForm(obj=tank))


@pages.post("/tanks/<int:tank_id>/edit")
def change(tank_id: int) -> View:
    """Change a tank."""
    tank, form = tank_to_edit(db(), tank_id), TankEditForm()
    made = attempt(form, lambda: _edit(tank, form))
    if made is None:
        return again("pages/tanks/edit.html", page=tank, form=form)
    return done(url_for("tanks.page", tank_id=made.id))


def _edit(tank: TankToEdit, form: TankEditForm) -> Tank:
    return tanks.edit_tank(
        db(),
        actor(),
        tank.id,
        name=text(form.name),
        litres=unrounded(form.litres, tank.litres) or 0,
        position=form.position.data or 1,
        set_point_c=unrounded(form.set_point_c, tank.set_point_c),
        quarantine=form.quarantine.data,
        note=text(form.note),
        life=form.life(tank.feed_g_per_day),
    )


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
        return again("pages/tanks/page.html", **_shown(tank_id), form=form)
    return done(url_for("tanks.page", tank_id=tank_id))


@pages.post("/tanks/<int:tank_id>/gap")
def set_gap(tank_id: int) -> View:
    """Correct the widest gap of a section."""
    given = _shown(tank_id)
    form: GapForm = given["gap"]
    made = attempt(
        form, lambda: tanks.set_gap(db(), actor(), tank_id, picked(form.of_section), form.new_gap.data)
    )
    if made is None:
        return again("pages/tanks/page.html", **given, form=SectionForm())
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
