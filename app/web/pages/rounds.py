"""Rounds: today's walk past the tanks."""

from flask import Blueprint, redirect, request, url_for

from app.queries.first_steps import first_steps
from app.queries.rounds import rounds_page
from app.services import reminders
from app.store.reminders import Answer, AnswerKind, Muted
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.reminders import NEVER, AnswerForm
from app.web.signin import actor
from app.web.views import View, attempt, back, done, refused, show

pages = Blueprint("rounds", __name__)
COOKIE, YEAR = "rounds", 31_536_000


@pages.get("/")
def today() -> View:
    """Show what each tank needs today, in walking order."""
    found = rounds_page(db(), actor())
    chosen = request.cookies.get(COOKIE, "")
    short = chosen == "short" or (not chosen and found.many)
    steps = None if found.fish else first_steps(db(), actor())
    return show("pages/rounds/today.html", page=found, short=short, steps=steps)


@pages.post("/rounds/shape")
def shape() -> View:
    """Keep in a cookie whether the walk is shown in full or one line a tank."""
    answer = redirect(url_for("rounds.today"), code=303)
    chosen = "short" if request.form.get("shape") == "short" else "full"
    answer.set_cookie(COOKIE, chosen, max_age=YEAR, samesite="Lax", secure=request.is_secure)
    return answer


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
