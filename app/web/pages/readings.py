"""Temperatures: one tank's readings, the walk with the thermometer, and pasted columns."""

from flask import Blueprint, request, url_for

from app.core.problems import Problem
from app.core.quantities.dated import DatedLine, parse_dated
from app.queries.readings import pasted_words, readings_page, tanks_to_read
from app.queries.tanks import tank_shown
from app.services import readings
from app.services.moments import moment
from app.services.readings import Shown
from app.store.readings import Reading
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.readings import PasteForm, ReadingForm, walk_form
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, refused, show

pages = Blueprint("readings", __name__)
PASTE = "pages/readings/paste.html"


@pages.get("/readings/new")
def walk() -> View:
    """Ask for the temperature of every tank, in walking order."""
    tanks = tanks_to_read(db(), actor())
    return show("pages/readings/walk.html", page=tanks, form=walk_form(tanks))


@pages.post("/readings/new")
def log_walk() -> View:
    """Log what was read on a walk."""
    tanks = tanks_to_read(db(), actor())
    form = walk_form(tanks)
    made = attempt(form, lambda: readings.log_readings(db(), actor(), form.shown(actor())))
    if made is None:
        return again("pages/readings/walk.html", page=tanks, form=form)
    return done(url_for("tanks.listing"))


@pages.get("/tanks/<int:tank_id>/readings")
def listing(tank_id: int) -> View:
    """Show one tank's readings, and ask for one more."""
    found = readings_page(db(), actor(), tank_id, request.args.get("from", 0, type=int))
    return show("pages/readings/listing.html", page=found, form=ReadingForm())


@pages.post("/tanks/<int:tank_id>/readings")
def log(tank_id: int) -> View:
    """Log one temperature."""
    form = ReadingForm()
    made = attempt(form, lambda: _log(tank_id, form))
    if made is None:
        return again("pages/readings/listing.html", page=readings_page(db(), actor(), tank_id), form=form)
    return done(back(url_for("readings.listing", tank_id=tank_id)))


def _log(tank_id: int, form: ReadingForm) -> Reading:
    degrees = float(form.temperature_c.data or 0)
    return readings.log_reading(
        db(), actor(), tank_id, temperature_c=degrees, on=form.on.data, at=form.at.data
    )


@pages.get("/tanks/<int:tank_id>/readings/paste")
def paste(tank_id: int) -> View:
    """Ask for a column of dates and temperatures."""
    actor().must_log()
    tank = tank_shown(db(), actor(), tank_id)
    return show(PASTE, page=tank, form=PasteForm(), read=(), said="")


@pages.post("/tanks/<int:tank_id>/readings/paste")
def save_pasted(tank_id: int) -> View:
    """Show what was read of the paste; save it once it was looked over."""
    tank, form = tank_shown(db(), actor(), tank_id), PasteForm()
    read = _read(form) if form.validate() else ()
    if not read or any(line.trouble for line in read):
        return again(PASTE, page=tank, form=form, read=read, said="")
    if form.looked.data != _plain(form):
        form.looked.data = _plain(form)
        said = pasted_words(read)
        return show(PASTE, page=tank, form=form, read=read, said=said)
    if attempt(form, lambda: readings.log_readings(db(), actor(), _shown(tank_id, read))) is None:
        return again(PASTE, page=tank, form=form, read=read, said="")
    return done(url_for("readings.listing", tank_id=tank_id))


def _plain(form: PasteForm) -> str:
    """Return the lines as a browser gives them back in a hidden field."""
    return "\n".join(text(form.lines).split())


def _read(form: PasteForm) -> tuple[DatedLine, ...]:
    try:
        read = parse_dated(text(form.lines), actor().today, actor().units)
    except Problem as problem:
        form.refuse(problem)
        return ()
    if any(line.trouble for line in read):
        form.refuse(Problem(pasted_words(read), "lines"))
    return read


def _shown(tank_id: int, read: tuple[DatedLine, ...]) -> list[Shown]:
    return [
        Shown(tank_id, moment(actor(), line.day, line.at), line.celsius)
        for line in read
        if line.day is not None and line.celsius is not None
    ]


@pages.post("/readings/<int:reading_id>/remove")
def remove(reading_id: int) -> View:
    """Take one temperature out."""
    form = ActForm()
    taken = attempt(form, lambda: readings.remove_reading(db(), actor(), reading_id))
    if taken is None:
        return refused(url_for("tanks.listing"), form)
    return done(url_for("readings.listing", tank_id=taken.tank_id))
