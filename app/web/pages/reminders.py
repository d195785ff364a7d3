"""Reminders as they are chosen: how early each comes, quiet hours, and what is silenced."""

from flask import Blueprint, url_for

from app.queries.reminders import reminders_page
from app.services import reminders
from app.web.db import db
from app.web.forms.base import ActForm, Form, text
from app.web.forms.choosing import picked
from app.web.forms.reminders import EmptyForm, LeadsForm, LineLeadForm, QuietForm, SilenceForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("reminders", __name__)
TEMPLATE = "pages/reminders/page.html"


@pages.get("/settings/reminders")
def page() -> View:
    """Show every rule with its lead time."""
    return show(TEMPLATE, **_given())


def _given(**sent: Form) -> dict[str, object]:
    """Return the page and its forms, the one that was sent among them."""
    found = reminders_page(db(), actor())
    line = sent.pop("line", None) or LineLeadForm()
    assert isinstance(line, LineLeadForm)  # noqa: S101 - the views below send no other
    return {
        "page": found,
        "leads": LeadsForm(data=found.leads),
        "quiet": QuietForm(obj=found),
        "empty": EmptyForm(obj=found),
        "line": line.offer(found),
        "silence": SilenceForm(),
        **sent,
    }


@pages.post("/settings/reminders")
def change() -> View:
    """Choose how early the rules speak."""
    form = LeadsForm(data=reminders_page(db(), actor()).leads)
    if attempt(form, lambda: reminders.choose_leads(db(), actor(), form.days())) is None:
        return again(TEMPLATE, **_given(leads=form))
    return done(url_for("reminders.page"))


@pages.post("/settings/reminders/lines")
def add_line() -> View:
    """Choose how early a rule speaks of one line."""
    form = LineLeadForm()
    made = attempt(
        form,
        lambda: reminders.choose_line_lead(
            db(), actor(), rule=text(form.rule), line_id=picked(form.line_id) or 0, days=form.days.data
        ),
    )
    if made is None:
        return again(TEMPLATE, **_given(line=form))
    return done(url_for("reminders.page"))


@pages.post("/settings/reminders/lines/<int:lead_id>/remove")
def drop_line(lead_id: int) -> View:
    """Let a line follow the fishroom again."""
    form = ActForm()
    if attempt(form, lambda: reminders.drop_line_lead(db(), actor(), lead_id)) is None:
        return refused(url_for("reminders.page"), form)
    return done(url_for("reminders.page"))


@pages.post("/settings/quiet-hours")
def quiet() -> View:
    """Choose the hours in which no message leaves."""
    form = QuietForm()
    made = attempt(
        form,
        lambda: reminders.choose_quiet_hours(
            db(), actor(), start=form.quiet_from.data, end=form.quiet_to.data
        ),
    )
    if made is None:
        return again(TEMPLATE, **_given(quiet=form))
    return done(url_for("reminders.page"))


@pages.post("/settings/empty-mornings")
def empty() -> View:
    """Choose whether a short message goes on mornings with nothing new."""
    form = EmptyForm()
    made = attempt(
        form, lambda: reminders.choose_empty_mornings(db(), actor(), int(form.empty_days.data or 0))
    )
    if made is None:
        return again(TEMPLATE, **_given(empty=form))
    return done(url_for("reminders.page"))


@pages.post("/settings/reminders/silenced")
def mute() -> View:
    """Let a rule never speak at all."""
    form = SilenceForm()
    if attempt(form, lambda: reminders.mute_rule(db(), actor(), text(form.silenced))) is None:
        return again(TEMPLATE, **_given(silence=form))
    return done(url_for("reminders.page"))


@pages.post("/settings/reminders/silenced/<int:muted_id>/remove")
def unmute(muted_id: int) -> View:
    """Let a rule speak again."""
    form = ActForm()
    if attempt(form, lambda: reminders.unmute(db(), actor(), muted_id)) is None:
        return refused(url_for("reminders.page"), form)
    return done(url_for("reminders.page"))
