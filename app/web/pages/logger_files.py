"""A logger's file: chosen, looked over, saved."""

import hashlib
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from flask import Blueprint, request, url_for

from app.core.logger_files import LoggerFile, read_file
from app.core.problems import Problem
from app.queries.logger_files import ImportPage, import_page, import_preview
from app.services.logger_files import already_there, import_file
from app.store.readings import Logger, Quantity
from app.web.db import db
from app.web.forms.base import options, text
from app.web.forms.choosing import picked, row
from app.web.forms.loggers import MOST_PACKED, ImportForm
from app.web.signin import actor
from app.web.views import View, again, attempt, done, show

pages = Blueprint("logger_files", __name__)
TEMPLATE = "pages/loggers/file.html"


@dataclass(frozen=True, slots=True)
class _Taken:
    """A file that was sent, as it was understood, for one tank."""

    tank_id: int
    text: str
    read: LoggerFile

    @property
    def mark(self) -> str:
        """Tell this file, read in this way for this tank, from any other."""
        digest = hashlib.sha256(self.text.encode()).hexdigest()[:12]
        ways = (self.tank_id, self.read.order, self.read.quantity, self.read.unit, self.read.columns.value)
        return "|".join((digest, *map(str, ways)))


@pages.url_value_preprocessor
def _let_whole_files_in(_endpoint: str | None, _values: dict[str, object] | None) -> None:
    """Let a field hold a whole file; said before anything looks into the form."""
    request.max_form_memory_size = MOST_PACKED


@pages.get("/readings/import")
def ask() -> View:
    """Ask for a file, and of which tank it is."""
    actor().must_log()
    page = import_page(db())
    form = ImportForm(tank_id=request.args.get("tank", type=row))
    return show(TEMPLATE, page=page, form=_offered(form, page))


@pages.post("/readings/import")
def take() -> View:
    """Show what was understood of the file; save it once it was looked over."""
    form = ImportForm()
    taken = _taken(form)
    if taken is None:
        page = import_page(db())
        return again(TEMPLATE, page=page, form=_offered(form, page))
    page = _looked_at(form, taken)
    seen = form.looked.data == taken.mark
    form.looked.data = taken.mark
    if not (seen and page.ready and request.form.get("do") == "save"):
        return show(TEMPLATE, page=page, form=form)
    if attempt(form, lambda: _save(form, taken)) is None:
        return again(TEMPLATE, page=page, form=form)
    return done(url_for("tanks.page", tank_id=taken.tank_id))


def _taken(form: ImportForm) -> _Taken | None:
    """Read what was sent, or leave the reason on the form why it cannot be."""
    tank_id = picked(form.tank_id)
    if not form.validate() or tank_id is None:
        return None
    try:
        content = form.text()
        read = read_file(content, ZoneInfo(actor().zone), actor().now, form.wanted())
    except Problem as problem:
        form.refuse(problem)
        return None
    return _Taken(tank_id, content, read)


def _looked_at(form: ImportForm, taken: _Taken) -> ImportPage:
    quantity = Quantity(taken.read.quantity)
    there = len(already_there(db(), actor(), taken.tank_id, quantity, taken.read.rows))
    page = import_preview(db(), actor(), taken.tank_id, taken.read, there)
    form.carry(taken.text, taken.read)
    _offered(form, page)
    return page


def _save(form: ImportForm, taken: _Taken) -> Logger:
    return import_file(
        db(),
        actor(),
        taken.tank_id,
        name=text(form.name),
        text=taken.text,
        read=taken.read.rows,
        quantity=Quantity(taken.read.quantity),
    )


def _offered(form: ImportForm, page: ImportPage) -> ImportForm:
    form.tank_id.choices = [("", "Choose a tank"), *page.tanks]
    form.column.choices = list(page.columns)
    form.unit.choices = options(page.units)
    return form
