"""The first steps: units, a tank, fish and a pairing, one small form each, every one to be skipped."""

from flask import Blueprint, redirect, request, url_for

from app.core.quantities import Units
from app.queries.first_steps import first_steps, places_for_fish, together
from app.services import fishrooms, pairings, tanks
from app.services.first_fish import add_first_fish
from app.services.refusals import Refused
from app.store.fishrooms import Fishroom
from app.store.pairings import Pairing
from app.web.db import db
from app.web.forms.base import Form, text
from app.web.forms.choosing import ticked
from app.web.forms.first_steps import FirstFishForm, FirstPairingForm, FirstTankForm, MeasuresForm
from app.web.guesses import guessed_units, guessed_zone
from app.web.signin import actor
from app.web.views import View, again, attempt, done, show

pages = Blueprint("first_steps", __name__)
BOTH = ("GET", "POST")


@pages.get("/start")
def begin() -> View:
    """Go to the first step that was not taken yet."""
    actor().must_manage()
    return redirect(_to(first_steps(db(), actor()).next), code=303)


def _to(key: str | None) -> str:
    return url_for(f"first_steps.{key}") if key is not None else url_for("rounds.today")


def _step(key: str, form: Form, **more: object) -> View:
    """Show one step, again where it was refused."""
    actor().must_manage()
    steps = first_steps(db(), actor())
    shown = again if request.method == "POST" else show
    onward = _to(steps.after(key))
    return shown(f"pages/first_steps/{key}.html", page=steps, key=key, onward=onward, form=form, **more)


def _onward(key: str) -> str:
    return _to(first_steps(db(), actor()).after(key))


@pages.route("/start/measures", methods=BOTH)
def measures() -> View:
    """Ask once for units and time zone, both guessed."""
    guessed = _guessed()
    form = MeasuresForm(**(guessed or _set()))
    if not guessed:
        form.time_zone.render_kw = {}  # scripts leave alone what somebody chose
    if request.method == "POST" and attempt(form, lambda: _settle(form)) is not None:
        return done(_onward("measures"))
    return _step("measures", form)


def _set() -> dict[str, str]:
    room = db().get_one(Fishroom, actor().fishroom_id)
    return {"units": room.units.value, "time_zone": room.time_zone}


def _guessed() -> dict[str, str]:
    """Guess from the browser's language; nothing once the measures were saved or given at the start."""
    if first_steps(db(), actor()).steps[0].done or _set()["time_zone"] != "UTC":
        return {}
    spoken = list(request.accept_languages.values())
    return {"units": guessed_units(spoken).value, "time_zone": guessed_zone(spoken)}


def _settle(form: MeasuresForm) -> Fishroom:
    room = db().get_one(Fishroom, actor().fishroom_id)
    return fishrooms.edit_fishroom(
        db(),
        actor(),
        name=room.name,
        units=Units(form.units.data),
        time_zone=text(form.time_zone),
        set_point_c=room.set_point_c,
    )


@pages.route("/start/tank", methods=BOTH)
def tank() -> View:
    """Ask for a tank's name and volume."""
    form = FirstTankForm()
    if request.method == "POST":
        put_up = attempt(
            form, lambda: tanks.add_tank(db(), actor(), name=text(form.name), litres=form.litres.data)
        )
        if put_up is not None:
            return done(_onward("tank"))
    return _step("tank", form)


@pages.route("/start/fish", methods=BOTH)
def fish() -> View:
    """Ask who stands in it: a species, so many females and males."""
    places = places_for_fish(db(), actor())
    form = FirstFishForm()
    form.offer(places)
    if request.method == "POST":
        added = attempt(form, lambda: add_first_fish(db(), actor(), form.given(actor().today)))
        if added is not None:
            codes = ", ".join(one.code for one in added)
            return done(_onward("fish"), f"Added: {codes}. Names and more can follow later.", undo=False)
    return _step("fish", form, places=places)


@pages.route("/start/pairing", methods=BOTH)
def pairing() -> View:
    """Ask who is together, everybody ticked."""
    found = together(db())
    everybody = {"dam_ids": [number for number, _ in found.dams], "sire_ids": [n for n, _ in found.sires]}
    form = FirstPairingForm(started_on=actor().today, **everybody)
    form.offer(found)
    if request.method == "POST":
        paired = attempt(form, lambda: _pair(form, found.section_id))
        if paired is not None:
            return done(url_for("pairings.page", pairing_id=paired.id))
    return _step("pairing", form, found=found)


def _pair(form: FirstPairingForm, section_id: int | None) -> Pairing:
    if section_id is None:
        raise Refused("A pairing takes a female that stands in a tank. Add her first.", "dam_ids")
    return pairings.make_pairing(
        db(),
        actor(),
        section_id=section_id,
        dam_ids=ticked(form.dam_ids),
        sire_ids=ticked(form.sire_ids),
        started_on=form.started_on.data or actor().today,
    )
