"""Settings: the fishroom's measures, its people, and one's own password."""

from flask import Blueprint, abort, url_for

from app.core.quantities import Units
from app.queries.settings import settings_page
from app.services import fishrooms
from app.store.fishrooms import Fishroom
from app.store.users import Role
from app.web.db import db
from app.web.forms.base import text
from app.web.forms.settings import DismissForm, FishroomForm, MemberForm, PasswordForm
from app.web.signin import actor, may_try, remember
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("settings", __name__)


@pages.get("/settings")
def page() -> View:
    """Show what is set, and who belongs here."""
    return show("pages/settings/page.html", page=settings_page(db(), actor()))


@pages.get("/settings/fishroom")
def edit() -> View:
    """Ask what changes."""
    actor().must_manage()
    return show("pages/settings/fishroom.html", form=FishroomForm(obj=settings_page(db(), actor())))


@pages.post("/settings/fishroom")
def change() -> View:
    """Change how the fishroom measures."""
    form = FishroomForm()
    if attempt(form, lambda: _change(form)) is None:
        return again("pages/settings/fishroom.html", form=form)
    return done(url_for("settings.page"))


def _change(form: FishroomForm) -> Fishroom:
    return fishrooms.edit_fishroom(
        db(),
        actor(),
        name=text(form.name),
        units=Units(form.units.data),
        time_zone=text(form.time_zone),
        set_point_c=float(form.set_point_c.data),
    )


@pages.get("/settings/members")
def members() -> View:
    """Ask who comes in."""
    actor().must_manage()
    return show("pages/settings/members.html", page=settings_page(db(), actor()), form=MemberForm())


@pages.post("/settings/members")
def admit() -> View:
    """Let somebody in, or change a member's role."""
    form = MemberForm()
    made = attempt(
        form,
        lambda: fishrooms.admit(db(), actor(), email=text(form.email), role=Role(form.role.data)),
    )
    if made is None:
        return again("pages/settings/members.html", page=settings_page(db(), actor()), form=form)
    return done(url_for("settings.page"), f"{text(form.email)} is a {made.role.value} here.", undo=False)


@pages.post("/settings/members/remove")
def dismiss() -> View:
    """Let a member go."""
    form = DismissForm()
    gone = attempt(form, lambda: fishrooms.dismiss(db(), actor(), email=text(form.email)))
    if gone is None:
        return refused(url_for("settings.page"), form)
    return done(url_for("settings.page"), f"{gone.email} no longer belongs here.", undo=False)


@pages.get("/settings/password")
def password() -> View:
    """Ask for the old password and a new one."""
    return show("pages/settings/password.html", form=PasswordForm())


@pages.post("/settings/password")
def change_password() -> View:
    """Change one's own password."""
    form = PasswordForm()
    old, new = form.old.data or "", form.new.data or ""
    if not may_try(f"password {actor().user_id}"):
        abort(429, "Too many tries. Wait five minutes, then try again.")
    if attempt(form, lambda: fishrooms.change_password(db(), actor(), old=old, new=new)) is None:
        return again("pages/settings/password.html", form=form)
    remember(actor().user_id or 0, actor().fishroom_id)  # every other session has ended
    return done(url_for("settings.page"), "Your password is changed.", undo=False)
