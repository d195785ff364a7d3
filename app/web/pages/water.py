"""One tank's water: what is in it, and changes, top-ups, doses and tests."""

from typing import Any

from flask import Blueprint, request, url_for

from app.core.problems import Problem
from app.core.water.levels import show_amount
from app.queries.ledger import tank_ledger
from app.queries.tanks import tank_shown
from app.queries.water_forms import DosePage, change_page, dose_list, dose_page
from app.queries.water_page import water_page
from app.services import doses, water_changes, water_tests
from app.store.session import find
from app.store.waters import Dose, Substance, WaterChange, WaterMove
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.choosing import row
from app.web.forms.water import OTHERS, UNTOLD, ChangeForm, DoseForm, PourForm, TopUpForm, WaterTestForm
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, refused, show

pages = Blueprint("water", __name__)
CHANGE, DOSE, TEST = "pages/water/change.html", "pages/water/dose.html", "pages/water/test.html"


@pages.get("/tanks/<int:tank_id>/water")
def page(tank_id: int) -> View:
    """Show what is in the water."""
    span, every = request.args.get("span", ""), request.args.get("history") == "all"
    return show("pages/water/page.html", page=water_page(db(), actor(), tank_id, span=span, every=every))


def _home(tank_id: int) -> str:
    return back(url_for("water.page", tank_id=tank_id))


def _pour(tank_id: int, kind: WaterMove) -> tuple[dict[str, Any], PourForm]:
    """Return the page and its form, begun as the last one was."""
    found = change_page(db(), actor(), tank_id, kind)
    usual = {
        "volume": request.args.get("volume") or found.last_share,
        "source_id": str(found.last_water or UNTOLD),
    }
    asked = request.args.get("first", type=row), request.args.get("second", type=row)
    others = found.last_others
    if all(asked):
        usual["source_id"], others = str(asked[0]), ((asked[1] or 0, request.args.get("share", "")),)
    for name, (number, share) in zip(OTHERS, others, strict=False):
        usual |= {f"{name}_id": str(number), f"{name}_share": share}
    form = ChangeForm(data=usual) if kind is WaterMove.CHANGE else TopUpForm(data=usual)
    form.offer(found)
    return {"page": found, "form": form, "top_up": kind is WaterMove.TOP_UP}, form


@pages.get("/tanks/<int:tank_id>/water/change")
def change(tank_id: int) -> View:
    """Ask how much was changed, and with which water."""
    actor().must_log()
    return show(CHANGE, **_pour(tank_id, WaterMove.CHANGE)[0])


@pages.post("/tanks/<int:tank_id>/water/change")
def log_change(tank_id: int) -> View:
    """Log a water change."""
    given, form = _pour(tank_id, WaterMove.CHANGE)
    assert isinstance(form, ChangeForm)  # noqa: S101 - by the kind asked for
    made = attempt(form, lambda: _change(tank_id, given, form))
    return again(CHANGE, **given) if made is None else done(_home(tank_id))


def _change(tank_id: int, given: dict[str, Any], form: ChangeForm) -> WaterChange:
    return water_changes.log_change(
        db(),
        actor(),
        tank_id,
        form.pours(),
        litres=form.litres(given["page"], actor()),
        at=form.moment(actor()),
        note=text(form.note),
    )


@pages.get("/tanks/<int:tank_id>/water/top-up")
def top_up(tank_id: int) -> View:
    """Ask how much was topped up."""
    actor().must_log()
    return show(CHANGE, **_pour(tank_id, WaterMove.TOP_UP)[0])


@pages.post("/tanks/<int:tank_id>/water/top-up")
def log_top_up(tank_id: int) -> View:
    """Log a top-up."""
    given, form = _pour(tank_id, WaterMove.TOP_UP)
    assert isinstance(form, TopUpForm)  # noqa: S101 - by the kind asked for
    made = attempt(form, lambda: _top_up(tank_id, form))
    return again(CHANGE, **given) if made is None else done(_home(tank_id))


def _top_up(tank_id: int, form: TopUpForm) -> WaterChange:
    return water_changes.log_top_up(
        db(),
        actor(),
        tank_id,
        form.pours(),
        litres=form.litres(actor()),
        at=form.moment(actor()),
        note=text(form.note),
    )


@pages.get("/tanks/<int:tank_id>/water/dose")
def choose(tank_id: int) -> View:
    """Ask what is dosed."""
    actor().must_log()
    return show("pages/water/choose.html", page=dose_list(db(), actor(), tank_id))


@pages.get("/tanks/<int:tank_id>/water/dose/<int:substance_id>")
def dose(tank_id: int, substance_id: int) -> View:
    """Ask how much, or up to which level."""
    actor().must_log()
    return show(DOSE, page=dose_page(db(), actor(), tank_id, substance_id), form=DoseForm(), said="")


@pages.post("/tanks/<int:tank_id>/water/dose/<int:substance_id>")
def log_dose(tank_id: int, substance_id: int) -> View:
    """Reckon the dose, or log it."""
    found, form = dose_page(db(), actor(), tank_id, substance_id), DoseForm()
    if form.reckons:
        said = _reckoned(found, form)
        render = show if said else again
        return render(DOSE, page=found, form=form, said=said)
    made = attempt(form, lambda: _dose(found, form))
    return again(DOSE, page=found, form=form, said="") if made is None else done(_home(tank_id))


def _reckoned(page: DosePage, form: DoseForm) -> str:
    """Return the amount that reaches the level; nothing when it was refused."""
    actor().must_log()
    if not form.validate():
        return ""
    try:
        return show_amount(_missing(page, form), page.measure)
    except Problem as problem:
        form.refuse(problem)
        return ""


def _missing(page: DosePage, form: DoseForm) -> float:
    level = form.wanted(page, actor())
    if level is None:
        raise Problem("Which level is wanted?", "level")
    ledger, substance = tank_ledger(db(), actor(), page.tank_id), find(db(), Substance, page.substance_id)
    return doses.needed(ledger, substance, level, form.moment(actor())).amount


def _dose(page: DosePage, form: DoseForm) -> Dose:
    """Log the amount where one is given, else what reaches the level."""
    amount, level = form.grams(page, actor()), form.wanted(page, actor())
    at, note = form.moment(actor()), text(form.note)
    if amount is not None and level is not None:
        raise Problem("Give the amount or the level, not both.", "level")
    if level is not None:
        return doses.log_dose_to(
            db(), actor(), page.tank_id, page.substance_id, level=level, at=at, note=note
        )
    return doses.log_dose(
        db(), actor(), page.tank_id, page.substance_id, amount=amount or 0.0, at=at, note=note
    )


@pages.get("/tanks/<int:tank_id>/water/test")
def test(tank_id: int) -> View:
    """Ask what was tested."""
    actor().must_log()
    return show(TEST, page=tank_shown(db(), actor(), tank_id), form=WaterTestForm())


@pages.post("/tanks/<int:tank_id>/water/test")
def log_test(tank_id: int) -> View:
    """Log a water test."""
    tank, form = tank_shown(db(), actor(), tank_id), WaterTestForm()
    made = attempt(
        form,
        lambda: water_tests.log_test(db(), actor(), tank_id, form.values(), at=form.moment(actor())),
    )
    return again(TEST, page=tank, form=form) if made is None else done(_home(tank_id))


@pages.post("/readings/<int:reading_id>/trust")
def trust(reading_id: int) -> View:
    """Let the ledger go on from a test."""
    form = ActForm()
    made = attempt(form, lambda: water_tests.trust_test(db(), actor(), reading_id))
    if made is None:
        return refused(url_for("tanks.listing"), form)
    return done(url_for("water.page", tank_id=made.tank_id))
