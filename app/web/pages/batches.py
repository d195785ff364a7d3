"""Batches: the list, one batch, and everything that is logged of it."""

from flask import Blueprint, request, url_for

from app.queries.batch_page import batch_page
from app.queries.batches import (
    CSV_HEAD,
    BatchHead,
    batch_head,
    batches_page,
    batches_table,
    juveniles_page,
)
from app.queries.wants import asked, wants_of_batch
from app.services import batches, rehomings
from app.store.batches import Batch, BatchSex, LengthKind, LossCause
from app.store.fish import Sex
from app.web.db import db
from app.web.forms.base import Form, options, text
from app.web.forms.batches import (
    HERE,
    CountForm,
    JuvenilesForm,
    KeepForm,
    LengthsForm,
    LossForm,
    MoveForm,
    SortForm,
    SplitForm,
    offered,
)
from app.web.forms.choosing import counted, picked, row
from app.web.forms.rehomings import RehomeForm
from app.web.sheets import as_csv
from app.web.signin import actor
from app.web.views import View, again, attempt, back, done, show

pages = Blueprint("batches", __name__)
BOTH = ("GET", "POST")


@pages.get("/batches")
def listing() -> View:
    """Show the batches that grow here, what is next first."""
    first = request.args.get("from", 0, type=int)
    return show("pages/batches/listing.html", page=batches_page(db(), actor(), *_filter(), first))


@pages.get("/batches.csv")
def sheet() -> View:
    """Give the same list as a file."""
    return as_csv("batches.csv", CSV_HEAD, batches_table(db(), actor(), *_filter()))


def _filter() -> tuple[int | None, str]:
    state = request.args.get("state", "open")
    return request.args.get("line", type=row), state if state in {"closed", "all"} else "open"


@pages.get("/batches/<int:batch_id>")
def page(batch_id: int) -> View:
    """Show one batch."""
    return show("pages/batches/page.html", page=batch_page(db(), actor(), batch_id))


def _head(batch_id: int) -> BatchHead:
    return batch_head(db(), actor(), batch_id)


def _ask(name: str, head: BatchHead, form: Form) -> View:
    """Show a form, or show it again with what was refused."""
    shown = again if request.method == "POST" else show
    return shown(f"pages/batches/{name}.html", page=head, form=form)


def _home(batch_id: int) -> View:
    return done(back(url_for("batches.page", batch_id=batch_id)))


@pages.route("/batches/<int:batch_id>/count", methods=BOTH)
def count(batch_id: int) -> View:
    """Count a batch."""
    head, form = _head(batch_id), CountForm(on=actor().today)
    if request.method == "POST" and attempt(form, lambda: _count(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("count", head, form)


def _count(batch_id: int, form: CountForm) -> object:
    return batches.log_count(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        alive=counted(form.alive),
        females=form.females.data,
        males=form.males.data,
    )


@pages.route("/batches/<int:batch_id>/loss", methods=BOTH)
def loss(batch_id: int) -> View:
    """Log a loss."""
    head, form = _head(batch_id), LossForm(on=actor().today)
    if request.method == "POST" and attempt(form, lambda: _lose(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("loss", head, form)


def _lose(batch_id: int, form: LossForm) -> object:
    return batches.log_loss(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        number=counted(form.number),
        cause=LossCause(form.cause.data or LossCause.UNKNOWN),
        note=text(form.note),
    )


@pages.route("/batches/<int:batch_id>/lengths", methods=BOTH)
def lengths(batch_id: int) -> View:
    """Measure a batch."""
    head, form = _head(batch_id), LengthsForm(on=actor().today)
    if request.method == "POST" and attempt(form, lambda: _measure(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("lengths", head, form)


def _measure(batch_id: int, form: LengthsForm) -> object:
    return batches.log_lengths(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        lengths_mm=form.lengths.data or (),
        n=form.n.data,
        mean_mm=form.mean_mm.data,
        sd_mm=form.sd_mm.data,
        kind=LengthKind(form.kind.data or LengthKind.TOTAL),
    )


@pages.route("/batches/<int:batch_id>/split", methods=BOTH)
def split(batch_id: int) -> View:
    """Move some fish into a batch of their own."""
    head = _head(batch_id)
    form = SplitForm(on=actor().today, sex=head.sex)
    form.section_id.choices = offered(head.places, *HERE)
    if request.method == "POST" and attempt(form, lambda: _split(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("split", head, form)


def _split(batch_id: int, form: SplitForm) -> Batch:
    return batches.split(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        number=counted(form.number),
        sex=BatchSex(form.sex.data) if form.sex.data else None,
        section_id=picked(form.section_id),
        code=text(form.code),
    )


@pages.route("/batches/<int:batch_id>/sort", methods=BOTH)
def sort(batch_id: int) -> View:
    """Part females and males."""
    head, form = _head(batch_id), SortForm(on=actor().today)
    for field in (form.females_section_id, form.males_section_id):
        field.choices = offered(head.places, *HERE)
    if request.method == "POST" and attempt(form, lambda: _sort(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("sort", head, form)


def _sort(batch_id: int, form: SortForm) -> object:
    return batches.sort_sexes(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        females=counted(form.females),
        males=counted(form.males),
        females_section_id=picked(form.females_section_id),
        males_section_id=picked(form.males_section_id),
    )


@pages.route("/batches/<int:batch_id>/keep", methods=BOTH)
def keep(batch_id: int) -> View:
    """Keep one fry as broodstock."""
    head, form = _head(batch_id), KeepForm(on=actor().today)
    form.section_id.choices = offered(head.places, *HERE)
    if request.method == "POST" and attempt(form, lambda: _keep(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("keep", head, form)


def _keep(batch_id: int, form: KeepForm) -> object:
    return batches.keep(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        sex=Sex(str(form.sex.data)),
        section_id=picked(form.section_id),
        code=text(form.code),
        name=text(form.name),
        note=text(form.note),
    )


@pages.route("/batches/<int:batch_id>/move", methods=BOTH)
def move(batch_id: int) -> View:
    """Move a batch."""
    head, form = _head(batch_id), MoveForm(on=actor().today)
    form.section_id.choices = offered(head.places, ("", "Choose"))
    if request.method == "POST" and attempt(form, lambda: _move(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("move", head, form)


def _move(batch_id: int, form: MoveForm) -> object:
    return batches.move(
        db(),
        actor(),
        batch_id,
        section_id=picked(form.section_id) or 0,
        on=form.on.data or actor().today,
    )


@pages.route("/batches/<int:batch_id>/rehome", methods=BOTH)
def rehome(batch_id: int) -> View:
    """Rehome some or all of a batch."""
    head = _head(batch_id)
    waiting = wants_of_batch(db(), batch_id) if actor().may_log else ()
    form = _rehome_form(head, request.args.get("want", type=row)).offer(waiting)
    if request.method == "POST" and attempt(form, lambda: _rehome(batch_id, form)) is not None:
        return _home(batch_id)
    return _ask("rehome", head, form)


def _rehome_form(head: BatchHead, want_id: int | None) -> RehomeForm:
    """Begin with all that are left, or with what the one who waits wants."""
    want = asked(db(), actor(), want_id) if want_id is not None else None
    if want is None:
        return RehomeForm(on=actor().today, number=head.alive)
    return RehomeForm(on=actor().today, number=min(want.number, head.alive), to_whom=want.who, want=want.id)


def _rehome(batch_id: int, form: RehomeForm) -> object:
    return rehomings.rehome(
        db(),
        actor(),
        batch_id,
        on=form.on.data or actor().today,
        number=counted(form.number),
        to_whom=text(form.to_whom),
        price=form.price.data,
        note=text(form.note),
        want_id=picked(form.want),
    )


@pages.route("/batches/new", methods=BOTH)
def new() -> View:
    """Add juveniles that were bought unsexed."""
    found, form = juveniles_page(db(), actor()), JuvenilesForm(on=actor().today)
    form.line_id.choices = options([("", "Choose"), *((str(id_), name) for id_, name in found.lines)])
    form.section_id.choices = offered(found.places, ("", "Choose"))
    made = attempt(form, lambda: _add(form)) if request.method == "POST" else None
    if made is not None:
        return _home(made.id)
    shown = again if request.method == "POST" else show
    return shown("pages/batches/new.html", page=found, form=form)


def _add(form: JuvenilesForm) -> Batch:
    return batches.add_juveniles(
        db(),
        actor(),
        line_id=picked(form.line_id) or 0,
        code=text(form.code),
        number=counted(form.number),
        age_days=form.age.data,
        give_or_take_days=form.give_or_take.data,
        on=form.on.data or actor().today,
        section_id=picked(form.section_id) or 0,
        source=text(form.source),
        note=text(form.note),
    )
