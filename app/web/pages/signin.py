"""The way in and the way out."""

from flask import Blueprint, abort, redirect, session, url_for
from sqlalchemy import select

from app.services import accounts
from app.store.users import Membership
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.signin import SigninForm
from app.web.signin import actor, may_try, now, remember
from app.web.views import View, again, back, show

pages = Blueprint("signin", __name__)


@pages.get("/sign-in")
def page() -> View:
    """Ask who is there."""
    return show("pages/signin/page.html", form=SigninForm(), next=back("/"))


@pages.post("/sign-in")
def enter() -> View:
    """Let a member in who knows the password."""
    form = SigninForm()
    if not form.validate():
        return again("pages/signin/page.html", form=form, next=back("/"))
    if not may_try(text(form.email).lower()):
        form.form_errors.append("Too many tries. Wait five minutes, then try again.")
        return again("pages/signin/page.html", form=form, next=back("/"))
    member = accounts.sign_in(db(), text(form.email), form.password.data or "")
    if member is None:
        form.form_errors.append("That address and password do not belong together.")
        return again("pages/signin/page.html", form=form, next=back("/"))
    remember(member.user_id, member.fishroom_id)
    return redirect(back("/"), code=303)


@pages.get("/sign-in/<token>")
def link(token: str) -> View:
    """Spend a one-time link."""
    with db().begin():
        member = accounts.use_link(db(), token, now())
    if member is None:
        abort(410, "This sign-in link was used before or is too old. Sign in with your password.")
    remember(member.user_id, member.fishroom_id)
    return redirect("/", code=303)


@pages.post("/sign-out")
def out() -> View:
    """Forget who is there."""
    if not ActForm().validate():
        abort(403)
    session.clear()
    return redirect(url_for("signin.page"), code=303)


@pages.post("/fishroom/<int:fishroom_id>")
def change(fishroom_id: int) -> View:
    """Go over to another fishroom of the same member."""
    if not ActForm().validate():
        abort(403)
    user_id = actor().user_id
    mine = select(Membership).where(Membership.user_id == user_id, Membership.fishroom_id == fishroom_id)
    if db().scalar(mine) is None or user_id is None:
        abort(404)
    remember(user_id, fishroom_id)
    return redirect("/", code=303)
