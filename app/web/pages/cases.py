"""Cases: the list, one case, its signs and photos, and how it ends."""

from pathlib import Path

from flask import Blueprint, current_app, request, url_for
from werkzeug.wrappers import Response

from app.queries.case_forms import CaseAsked, case_asked, case_said, photo_case, photo_digest, sign_case
from app.queries.case_page import case_page
from app.queries.cases import Sought, cases_page
from app.services import cases, pictures
from app.services.cases import Subject
from app.services.refusals import NotFound
from app.store.cases import Ailing, CasePhoto
from app.store.pictures import path_of
from app.web.db import db
from app.web.forms.base import ActForm, text
from app.web.forms.cases import (
    CaseFields,
    CaseForm,
    CaseSignForm,
    CloseForm,
    GoneForm,
    PhotoForm,
    SoughtForm,
)
from app.web.forms.choosing import row
from app.web.forms.courses import EndForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, refused, show

pages = Blueprint("cases", __name__)
BOTH = ("GET", "POST")
A_YEAR = 31_536_000


@pages.get("/cases")
def listing() -> View:
    """Show the cases, the open ones first."""
    given = request.args.get
    sought = Sought(given("words", ""), given("sign", ""), given("substance", ""), given("outcome", ""))
    page = cases_page(db(), actor(), sought, request.args.get("from", 0, type=int))
    form = SoughtForm(obj=sought)
    form.offer(page)
    return show("pages/cases/listing.html", page=page, form=form)


@pages.route("/cases/new", methods=BOTH)
def new() -> View:
    """Open a case of a fish, a batch or a tank."""
    asked, form = _asked(), CaseForm(opened_on=actor().today)
    if request.method == "POST":
        made = attempt(
            form,
            lambda: cases.open_case(db(), actor(), _subject(asked), form.told(actor().today), form.seen),
        )
        if made is not None:
            return done(url_for("cases.page", case_id=made.id))
        return again("pages/cases/new.html", page=asked, form=form)
    return show("pages/cases/new.html", page=asked, form=form)


def _asked() -> CaseAsked:
    """Return whom the address names, and who else could be meant."""
    kind = next((each for each in ("fish", "batch", "tank") if request.args.get(each)), "")
    number = request.args.get(kind, type=row) if kind else None
    return case_asked(db(), actor(), kind, number)


def _subject(asked: CaseAsked) -> Subject:
    number = asked.subject.id if asked.subject is not None else None
    kind = asked.subject.kind if asked.subject is not None else ""
    return Subject(**{f"{kind}_id": number}) if kind else Subject()


@pages.get("/cases/<int:case_id>")
def page(case_id: int) -> View:
    """Show one case."""
    return _page(case_id)


def _page(case_id: int, *, sign: CaseSignForm | None = None, photo: PhotoForm | None = None) -> View:
    today = actor().today
    wrong = sign is not None or photo is not None
    shown = again if wrong else show
    return shown(
        "pages/cases/page.html",
        page=case_page(db(), actor(), case_id),
        sign=sign or CaseSignForm(seen_on=today),
        photo=photo or PhotoForm(taken_on=today),
        end=EndForm(on=today),
    )


@pages.route("/cases/<int:case_id>/edit", methods=BOTH)
def edit(case_id: int) -> View:
    """Correct what is said of a case."""
    said = case_said(db(), actor(), case_id)
    form = CaseFields(obj=said)
    if request.method == "POST":
        made = attempt(form, lambda: cases.edit_case(db(), actor(), case_id, form.told(actor().today)))
        if made is not None:
            return done(url_for("cases.page", case_id=case_id))
        return again("pages/cases/edit.html", page=said, form=form)
    return show("pages/cases/edit.html", page=said, form=form)


@pages.route("/cases/<int:case_id>/close", methods=BOTH)
def close(case_id: int) -> View:
    """Ask how a case ended, and close it."""
    found, form = case_page(db(), actor(), case_id), CloseForm(on=actor().today)
    if request.method == "POST":
        kind = found.row.subject.kind if found.alive else "gone"
        made = attempt(
            form,
            lambda: cases.close_case(db(), actor(), case_id, form.ending(actor().today, kind)),
        )
        if made is not None:
            return done(url_for("cases.page", case_id=case_id))
        return again("pages/cases/close.html", page=found, form=form)
    return show("pages/cases/close.html", page=found, form=form)


@pages.post("/cases/<int:case_id>/reopen")
def reopen(case_id: int) -> View:
    """Open a closed case again."""
    form = ActForm()
    made = attempt(form, lambda: cases.reopen(db(), actor(), case_id))
    home = url_for("cases.page", case_id=case_id)
    return done(home) if made is not None else refused(home, form)


@pages.post("/cases/<int:case_id>/signs")
def add_sign(case_id: int) -> View:
    """Log one more sign."""
    form = CaseSignForm(seen_on=actor().today)
    made = attempt(
        form,
        lambda: cases.log_sign(
            db(),
            actor(),
            case_id,
            kind=Ailing(form.kind.data),
            seen_on=form.seen_on.data or actor().today,
            note=text(form.note),
        ),
    )
    return done(url_for("cases.page", case_id=case_id)) if made is not None else _page(case_id, sign=form)


@pages.post("/cases/signs/<int:case_sign_id>/gone")
def sign_gone(case_sign_id: int) -> View:
    """Log that a sign is seen no more."""
    home = url_for("cases.page", case_id=sign_case(db(), case_sign_id))
    form = GoneForm()
    on = form.on.data or actor().today
    made = attempt(form, lambda: cases.sign_gone(db(), actor(), case_sign_id, on=on))
    return done(home) if made is not None else refused(home, form)


@pages.post("/cases/<int:case_id>/photos")
def add_photo(case_id: int) -> View:
    """Keep a photo."""
    form = PhotoForm(taken_on=actor().today)
    made = attempt(form, lambda: _keep(case_id, form))
    return done(url_for("cases.page", case_id=case_id)) if made is not None else _page(case_id, photo=form)


def _keep(case_id: int, form: PhotoForm) -> CasePhoto:
    return pictures.add_photo(
        db(),
        actor(),
        case_id,
        folder=_folder(),
        upload=form.upload(),
        taken_on=form.taken_on.data or actor().today,
        note=text(form.note),
    )


def _folder() -> Path:
    return Path(current_app.config["PICTURES"])


@pages.get("/cases/photos/<int:photo_id>")
def photo(photo_id: int) -> Response:
    """Give a photo to members of its fishroom; it never changes, so browsers may keep it."""
    home = path_of(_folder(), photo_digest(db(), photo_id))
    if not home.is_file():
        raise NotFound("the file of this photo is gone")
    answer = Response(home.read_bytes(), mimetype="image/jpeg")
    answer.headers["Cache-Control"] = f"private, max-age={A_YEAR}, immutable"
    return answer


@pages.post("/cases/photos/<int:photo_id>/remove")
def remove_photo(photo_id: int) -> View:
    """Take a photo out of its case."""
    home = url_for("cases.page", case_id=photo_case(db(), photo_id))
    form = ActForm()
    made = attempt(form, lambda: pictures.remove_photo(db(), actor(), photo_id))
    return done(home) if made is not None else refused(home, form)
