"""What a new logger and a logger's file ask for."""

import base64
import binascii
import zlib

from flask import request
from wtforms import FileField, HiddenField, RadioField, SelectField, StringField, TextAreaField
from wtforms.validators import Optional

from app.core.logger_files import DayOrder, LoggerFile, Wanted, decoded
from app.core.loggers.measures import MEASURES
from app.core.problems import Problem
from app.queries.quantities import KEPT
from app.store.readings import Quantity
from app.web.forms.base import Form, needed, options
from app.web.forms.choosing import picked, select

MOST_BYTES = 8 * 1024 * 1024
MOST_PACKED = 12 * 1024 * 1024


class LoggerForm(Form):
    """A device, and the tank it stands at."""

    name = StringField("Name", [needed("What do you call it?")])
    tank_id = select("Tank", [Optional()])


class ImportForm(Form):
    """A logger's file: sent or pasted at first, then carried along packed until it is saved."""

    tank_id = select("Tank", [needed("Of which tank are these?")])
    file = FileField("File", render_kw={"accept": ".csv,.txt,.tsv,text/*"})
    lines = TextAreaField("Or paste its lines")
    packed = HiddenField()
    name = HiddenField()
    looked = HiddenField()
    column_read = HiddenField()
    quantity_read = HiddenField()
    order = RadioField(
        "How are the days written?",
        [Optional()],
        choices=options(
            [
                (DayOrder.DAY_FIRST.value, "Day first: 31/12"),
                (DayOrder.MONTH_FIRST.value, "Month first: 12/31"),
            ]
        ),
        validate_choice=False,
    )
    quantity = SelectField(
        "What is measured",
        [Optional()],
        choices=options([(key, KEPT[Quantity(key)].title) for key in MEASURES]),
        validate_choice=False,
    )
    unit = RadioField("Unit", [Optional()], choices=[], validate_choice=False)
    column = select("Column of the values", [Optional()])

    def text(self) -> str:
        """Return the file's text: the one that was just sent, or pasted, or carried along.

        Raises
        ------
        Problem
            If nothing was sent, or far too much.
        """
        sent = request.files.get("file")
        if sent is not None and sent.filename:
            raw = sent.stream.read(MOST_BYTES + 1)
            self.name.data = sent.filename.replace("\\", "/").rsplit("/", 1)[-1]
        elif self.lines.data and self.lines.data.strip():
            raw = self.lines.data.encode()
            self.name.data = "pasted lines"
        elif self.packed.data:
            return _unpacked(self.packed.data)
        else:
            raise Problem("Choose a file, or paste its lines.", "file")
        if len(raw) > MOST_BYTES:
            raise Problem(f"More than {MOST_BYTES // 1024**2} MB. Import a year or two at a time.", "file")
        return decoded(raw)

    def carry(self, text: str, read: LoggerFile) -> None:
        """Keep the file in the form with the answers that were taken, so that both are sent along."""
        self.packed.data = base64.b64encode(zlib.compress(text.encode(), 6)).decode()
        self.lines.data = ""
        for asked in (self.order, self.quantity, self.unit, self.column):
            asked.flags.required = True
        self.order.data = None if read.asks_order else read.order.value
        self.quantity.data, self.unit.data = read.quantity, read.unit
        self.column.data = read.columns.value
        self.column_read.data = str(read.columns.value)
        self.quantity_read.data = read.quantity

    def wanted(self) -> Wanted:
        """Return what was chosen; what was shown of another column or quantity is guessed anew."""
        order = DayOrder(self.order.data) if self.order.data in set(DayOrder) else None
        column, quantity, unit = picked(self.column), self.quantity.data or "", self.unit.data or ""
        if self.quantity_read.data and quantity != self.quantity_read.data:
            return Wanted(order, column=column, quantity=quantity)
        if column is not None and self.column_read.data not in {None, "", str(column)}:
            return Wanted(order, column=column)
        return Wanted(order, unit, column, quantity)


def _unpacked(packed: str) -> str:
    """Return the text that was carried along; no more of it than may be sent."""
    try:
        opened = zlib.decompressobj()
        raw = opened.decompress(base64.b64decode(packed, validate=True), 2 * MOST_BYTES)
    except (binascii.Error, zlib.error, ValueError) as error:
        raise Problem("The file got lost on the way. Choose it again.", "file") from error
    if opened.unconsumed_tail:
        raise Problem("The file got lost on the way. Choose it again.", "file")
    return raw.decode("utf-8", errors="replace")
