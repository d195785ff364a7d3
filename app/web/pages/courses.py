"""Courses of a case, and the way of a tank back to plain water: looked over before they are saved."""

from typing import Any

from flask import Blueprint, request, url_for

from app.core.quantities.showing import trimmed
from app.core.water.salt_course import PLAIN_G_PER_L
from app.queries.case_forms import CourseAsked, course_asked
from app.queries.choices import open_waters
from app.queries.course_look import CourseLook, course_look
from app.queries.plain_water import PlainAsked, plain_asked
from app.queries.plans import PlanShown, plans_shown
from app.services import courses, plain_water
from app.store.plans import Plan
from app.web.db import db
from app.web.forms.choosing import row
from app.web.forms.courses import CourseForm, PlainForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, rehearse, show

pages = Blueprint("courses", __name__)
BOTH = ("GET", "POST")
LABEL_LITRES = 100.0


@pages.route("/cases/<int:case_id>/course", methods=BOTH)
def plan(case_id: int) -> View:
    """Lay out a course: what goes in, in which steps; looked over before it is saved."""
    asked = course_asked(db(), actor(), case_id, request.args.get("substance", type=row))
    form = CourseForm(start=actor().today, tank_id=asked.stands[0] if asked.stands else None, **_label(asked))
    form.offer(list(asked.tanks), salt=asked.salt)
    if request.method == "GET":
        return show("pages/courses/plan.html", page=asked, form=form, look=None)
    if form.looked.data != form.chosen:
        return _look_over(asked, form)
    made = attempt(form, lambda: _lay_out(asked, form))
    if made is None:
        return again("pages/courses/plan.html", page=asked, form=form, look=None)
    return done(url_for("cases.page", case_id=case_id))


def _label(asked: CourseAsked) -> dict[str, Any]:
    """Return what the label says, where the keeper told it with the substance: so much for 100 litres."""
    if asked.label is None:
        return {}
    return {"label_amount": trimmed(asked.label * LABEL_LITRES, 3), "label_litres": LABEL_LITRES}


def _lay_out(asked: CourseAsked, form: CourseForm) -> Plan:
    substance = asked.substance[0] if asked.substance is not None else None
    told = form.told(substance, asked.measure, actor().today)
    return courses.plan_course(db(), actor(), asked.case_id, told)


def _look_over(asked: CourseAsked, form: CourseForm) -> View:
    """Try the course out, look at it, and take it back."""
    look = rehearse(form, lambda: _tried(asked, form))
    if look is None:
        return again("pages/courses/plan.html", page=asked, form=form, look=None)
    form.looked.data = form.chosen
    return show("pages/courses/plan.html", page=asked, form=form, look=look)


def _tried(asked: CourseAsked, form: CourseForm) -> CourseLook:
    subject = (asked.subject.kind, asked.subject.id)
    return course_look(db(), actor(), _lay_out(asked, form).id, subject)


@pages.route("/tanks/<int:tank_id>/plain-water", methods=BOTH)
def plain(tank_id: int) -> View:
    """Lay out the changes that bring a tank back to plain water."""
    asked = plain_asked(db(), actor(), tank_id, request.args.get("case", type=row))
    form = PlainForm(start=actor().today, target=PLAIN_G_PER_L)
    form.offer(open_waters(db()))
    if request.method == "GET":
        return show("pages/courses/plain.html", page=asked, form=form, look=None)
    if form.looked.data != form.chosen:
        return _look_over_plain(asked, form)
    made = attempt(form, lambda: _lay_out_plain(asked, form))
    if made is None:
        return again("pages/courses/plain.html", page=asked, form=form, look=None)
    if made.case_id is not None:
        return done(url_for("cases.page", case_id=made.case_id))
    return done(url_for("plans.page", plan_id=made.id))


def _lay_out_plain(asked: PlainAsked, form: PlainForm) -> Plan:
    told = form.told(actor().today, asked.case_id)
    return plain_water.plan_plain_water(db(), actor(), asked.tank_id, told)


def _look_over_plain(asked: PlainAsked, form: PlainForm) -> View:
    look = rehearse(form, lambda: _tried_plain(asked, form))
    if look is None:
        return again("pages/courses/plain.html", page=asked, form=form, look=None)
    form.looked.data = form.chosen
    return show("pages/courses/plain.html", page=asked, form=form, look=look)


def _tried_plain(asked: PlainAsked, form: PlainForm) -> PlanShown:
    return plans_shown(db(), actor(), Plan.id == _lay_out_plain(asked, form).id)[0]
