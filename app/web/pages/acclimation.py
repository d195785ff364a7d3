"""Acclimation of fish that came: looked over before it is saved."""

from flask import Blueprint, request, url_for

from app.queries.acclimation import AcclimationAsked, acclimation_asked
from app.queries.choices import open_waters
from app.queries.plans import PlanShown, plans_shown
from app.services import acclimation
from app.store.plans import Plan
from app.web.db import db
from app.web.forms.acclimation import AcclimationForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, rehearse, show

pages = Blueprint("acclimation", __name__)
TEMPLATE = "pages/acclimation/plan.html"


@pages.route("/broodstock/<int:fish_id>/acclimation", methods=("GET", "POST"))
def plan(fish_id: int) -> View:
    """Lay out the steps from their water to the tank's."""
    asked = acclimation_asked(db(), actor(), fish_id)
    mates = [number for number, _ in asked.mates]
    form = AcclimationForm(obj=asked, start=actor().today, fish_ids=mates)
    form.offer(asked.mates, open_waters(db()))
    if request.method == "GET":
        return show(TEMPLATE, page=asked, form=form, look=None)
    if form.looked.data != form.chosen:
        return _look_over(asked, form)
    made = attempt(form, lambda: _lay_out(form))
    if made is None:
        return again(TEMPLATE, page=asked, form=form, look=None)
    return done(url_for("plans.page", plan_id=made.id))


def _lay_out(form: AcclimationForm) -> Plan:
    return acclimation.plan_acclimation(db(), actor(), form.told(actor().today))


def _look_over(asked: AcclimationAsked, form: AcclimationForm) -> View:
    """Try the plan out, look at it, and take it back."""
    look = rehearse(form, lambda: _tried(form))
    if look is None:
        return again(TEMPLATE, page=asked, form=form, look=None)
    form.looked.data = form.chosen
    return show(TEMPLATE, page=asked, form=form, look=look)


def _tried(form: AcclimationForm) -> PlanShown:
    return plans_shown(db(), actor(), Plan.id == _lay_out(form).id)[0]
