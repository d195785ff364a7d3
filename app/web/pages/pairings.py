"""Pairings: the list, one pairing, and putting fish together in two looks."""

from flask import Blueprint, request, url_for

from app.queries.pairing_choices import Choices, choices
from app.queries.pairing_look import PairingLook, look
from app.queries.pairings import CSV_HEAD, pairing_page, pairings_page, pairings_table
from app.queries.sections import open_places
from app.services import pairings
from app.store.pairings import Pairing
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.choosing import picked, row, ticked
from app.web.forms.pairings import EndForm, JoinForm, LeaveForm, PairingForm
from app.web.sheets import as_csv
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, rehearse, show

pages = Blueprint("pairings", __name__)


@pages.get("/pairings")
def listing() -> View:
    """Show who is with whom, and who was."""
    first = request.args.get("from", 0, type=int)
    found = pairings_page(db(), actor(), request.args.get("line", type=row), first)
    return show("pages/pairings/listing.html", page=found)


@pages.get("/pairings.csv")
def sheet() -> View:
    """Give the same list as a file."""
    found = pairings_page(db(), actor(), request.args.get("line", type=row))
    return as_csv("pairings.csv", CSV_HEAD, pairings_table(found))


@pages.get("/pairings/new")
def new() -> View:
    """Ask who is put together, and where."""
    form, found = _asked()
    return show("pages/pairings/new.html", page=found, form=form, look=None)


@pages.post("/pairings/new")
def add() -> View:
    """Show what is known of those chosen; make the pairing once it was looked over."""
    form, found = _asked()
    if form.looked.data != form.chosen:
        return _look_over(form, found)
    made = attempt(form, lambda: _make(form))
    if made is None:
        return again("pages/pairings/new.html", page=found, form=form, look=None)
    return done(url_for("pairings.page", pairing_id=made.id))


def _asked() -> tuple[PairingForm, Choices]:
    """Return the form with what a link brought along, and what can be chosen."""
    given = request.args.get
    dams, sires = request.args.getlist("dam", type=row), request.args.getlist("sire", type=row)
    found = choices(db(), actor(), given("line", type=row))
    form = PairingForm(
        started_on=actor().today, section_id=given("section", type=row), dam_ids=dams, sire_ids=sires
    )
    form.offer(found)
    return form, found


def _look_over(form: PairingForm, found: Choices) -> View:
    """Try the pairing out, take it back, and show what is worth knowing; or the refusal."""
    if rehearse(form, lambda: _make(form)) is None:
        return again("pages/pairings/new.html", page=found, form=form, look=None)
    form.looked.data = form.chosen
    return show("pages/pairings/new.html", page=found, form=form, look=_look(form))


def _look(form: PairingForm) -> PairingLook | None:
    day = form.started_on.data or actor().today
    section_id = picked(form.section_id) or 0
    return look(db(), actor(), section_id, ticked(form.dam_ids), ticked(form.sire_ids), day)


def _make(form: PairingForm) -> Pairing:
    return pairings.make_pairing(
        db(),
        actor(),
        section_id=picked(form.section_id) or 0,
        dam_ids=ticked(form.dam_ids),
        sire_ids=ticked(form.sire_ids),
        started_on=form.started_on.data or actor().today,
        project_id=picked(form.project_id),
        note=text(form.note),
    )


@pages.get("/pairings/<int:pairing_id>")
def page(pairing_id: int) -> View:
    """Show one pairing."""
    today = actor().today
    return _shown(pairing_id, EndForm(on=today), JoinForm(on=today), LeaveForm(on=today))


def _shown(pairing_id: int, end: EndForm, join: JoinForm, leave: LeaveForm) -> str:
    found = pairing_page(db(), actor(), pairing_id)
    places = open_places(db(), actor())
    end.offer(places, found)
    join.offer(choices(db(), actor()))
    leave.offer(places, found)
    return show("pages/pairings/page.html", page=found, end=end, join=join, leave=leave)


@pages.post("/pairings/<int:pairing_id>/end")
def end(pairing_id: int) -> View:
    """End a pairing."""
    form = EndForm(on=actor().today)
    made = attempt(
        form,
        lambda: pairings.end_pairing(
            db(), actor(), pairing_id, on=form.on.data or actor().today, males_to=picked(form.males_to)
        ),
    )
    return _answer(pairing_id, made, end=form)


@pages.post("/pairings/<int:pairing_id>/members")
def join(pairing_id: int) -> View:
    """Put one more fish in."""
    form = JoinForm(on=actor().today)
    made = attempt(
        form,
        lambda: pairings.add_member(
            db(), actor(), pairing_id, fish_id=picked(form.fish_id) or 0, on=form.on.data or actor().today
        ),
    )
    return _answer(pairing_id, made, join=form)


@pages.post("/pairings/<int:pairing_id>/members/out")
def leave(pairing_id: int) -> View:
    """Take one fish out."""
    form = LeaveForm(on=actor().today)
    made = attempt(
        form,
        lambda: pairings.remove_member(
            db(),
            actor(),
            pairing_id,
            fish_id=picked(form.fish_id) or 0,
            to_section_id=picked(form.to_section_id),
            on=form.on.data or actor().today,
        ),
    )
    return _answer(pairing_id, made, leave=form)


def _answer(
    pairing_id: int,
    made: Pairing | None,
    *,
    end: EndForm | None = None,
    join: JoinForm | None = None,
    leave: LeaveForm | None = None,
) -> View:
    """Go back to the pairing; with the refused form as it was typed."""
    home = url_for("pairings.page", pairing_id=pairing_id)
    if made is not None:
        return done(home)
    for form in (end, join, leave):
        if form is not None and form.form_errors:
            return refused(home, form)
    today = actor().today
    forms = (end or EndForm(on=today), join or JoinForm(on=today), leave or LeaveForm(on=today))
    return _shown(pairing_id, *forms), 422
