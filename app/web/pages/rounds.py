"""Rounds: today's walk past the tanks."""

from flask import Blueprint, url_for

from app.queries.rounds import rounds_page
from app.services import reminders
from app.store.reminders import Answer, AnswerKind, Muted
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.reminders import NEVER, AnswerForm
from app.web.signin import actor
from app.web.views import View, attempt, back, done, refused, show

pages = Blueprint("rounds", __name__)


@pages.get("/")
def today() -> View:
    """Show what each tank needs today, in walking order."""
    return show("pages/rounds/today.html", page=rounds_page(db(), actor()))


@pages.post("/reminders")
def answer() -> View:
    """Keep an answer: done, later, not needed, never for this one."""
    form = AnswerForm()
    kept = attempt(form, lambda: _answer(form))
    home = back(url_for("rounds.today"))
    return refused(home, form) if kept is None else done(home)


def _answer(form: AnswerForm) -> Answer | Muted:
    words = text(form.words)
    if form.kind.data == NEVER:
        return reminders.mute(db(), actor(), rule=text(form.rule), subject=text(form.subject), words=words)
    return reminders.answer(db(), actor(), key=text(form.key), kind=AnswerKind(form.kind.data), words=words)
