"""Invented objects for the page that shows every component in every state."""

from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist

from werkzeug.datastructures import MultiDict
from wtforms import (
    BooleanField,
    DateField,
    FileField,
    Form,
    RadioField,
    SelectField,
    SelectMultipleField,
    StringField,
    TextAreaField,
    validators,
)
from wtforms.widgets import CheckboxInput, ListWidget

from app.core.charts import Band, Chart, Series
from app.core.lanes import Axis, Lane, LaneWindow, axis, lane, row, stay
from app.core.ribbon import Ribbon, ribbon_from_cdf, ribbon_from_window
from app.core.why import Used, Why
from app.core.windows import Window
from app.web.forms.base import options

STAGES = (
    "carrying", "drop", "fry", "growing", "sexing", "ready", "rehomed", "adult",
    "quarantine", "waiting", "closed", "lost", "case", "due", "done", "care",
)  # fmt: skip


class DropForm(Form):
    """One field of every kind."""

    day = DateField("Day of the drop", [validators.InputRequired()])
    live = StringField(
        "Live fry", [validators.InputRequired()], description="A count, or a guess such as 20."
    )
    length = StringField("Length of one")
    kind = RadioField(
        "How sure", choices=options((("seen", "Seen"), ("between", "Between two days"), ("guess", "A guess")))
    )
    signs = SelectMultipleField(
        "Signs before it",
        choices=options(
            (
                ("spot", "Dark spot"),
                ("square", "Squared belly"),
                ("hiding", "Hiding"),
                ("food", "Off food"),
            )
        ),
        option_widget=CheckboxInput(),
        widget=ListWidget(prefix_label=False),
    )
    where = SelectField("Where the fry are", choices=options((("t3", "T3 fry box"), ("t5", "T5 right"))))
    moved = BooleanField("The dam was moved out")
    words = TextAreaField("Anything else")
    photo = FileField("Photo with a ruler")


@dataclass(frozen=True, slots=True)
class Event:
    """A line of history."""

    day: date
    words: str
    detail: str
    kind: str
    url: str | None = None
    undo_url: str | None = None


@dataclass(frozen=True, slots=True)
class Message:
    """What just happened."""

    kind: str
    text: str
    undo_url: str | None = None


@dataclass(frozen=True, slots=True)
class Kin:
    """A fish and its parents."""

    name: str
    sex: str
    detail: str = ""
    dam: "Kin | None" = None
    sire: "Kin | None" = None
    url: str | None = "#"


FOREBEARS = Kin(
    "Amber",
    "female",
    "born 12 Oct 2025",
    Kin("Saffron", "female", "B-02", Kin("Old Gold", "female", "acquired"), None),
    Kin("Cinder", "male", "B-02", Kin("Old Gold", "female", "acquired"), Kin("Ash", "male", "acquired")),
)


@dataclass(frozen=True, slots=True)
class Specimen:
    """Everything the page shows."""

    today: date
    stages: tuple[str, ...]
    plain_form: DropForm
    wrong_form: DropForm
    messages: tuple[Message, ...]
    ribbons: tuple[tuple[str, Ribbon], ...]
    why: Why
    thin_why: Why
    history: tuple[Event, ...]
    growth: Chart
    survival: Chart
    axis: Axis
    lanes: tuple[Lane, ...]
    forebears: Kin


def _spread(middle: date, days: float) -> NormalDist:
    return NormalDist(middle.toordinal() + 0.5, days)


def _forecast(today: date, ahead: int, days: float, stage: str, truth: int | None = None) -> Ribbon:
    """Draw a forecast about a day ``ahead``, given that nothing had happened before today."""
    middle = today + timedelta(days=ahead)
    spread = _spread(middle, days)
    reach = round(1.2816 * days)
    window = Window(middle - timedelta(days=reach), middle + timedelta(days=reach))
    told = None if truth is None else today + timedelta(days=truth)
    gone = spread.cdf(today.toordinal()) if ahead > 0 else 0.0
    return ribbon_from_cdf(
        lambda d: max(gone, spread.cdf(d.toordinal() + 1)), window, middle, today, told, stage=stage
    )


def _overdue(today: date) -> Ribbon:
    """Draw the case in which it could have happened earlier, but has not."""
    spread = _spread(today - timedelta(days=2), 5)
    gone = spread.cdf(today.toordinal())
    window = Window(today, today + timedelta(days=7))
    return ribbon_from_cdf(
        lambda d: max(0.0, spread.cdf(d.toordinal() + 1) - gone), window, today + timedelta(days=2), today
    )


def ribbons(today: date) -> tuple[tuple[str, Ribbon], ...]:
    """Return every kind of ribbon, with what it shows."""
    split = Window(today + timedelta(days=9), today + timedelta(days=30))
    return (
        ("A window ahead", _forecast(today, 8, 3.4, "drop")),
        ("A wide one, little known", _forecast(today, 34, 14, "drop")),
        ("Open today, nothing seen yet", _overdue(today)),
        ("Past, with what truly happened", _forecast(today, -11, 3, "drop", truth=-9)),
        ("Only the ends are known", ribbon_from_window(split, today, stage="sexing")),
        ("Ready to rehome", _forecast(today, 70, 9, "ready")),
    )


def _history(today: date) -> tuple[Event, ...]:
    def ago(days: int) -> date:
        return today - timedelta(days=days)

    return (
        Event(ago(-8), "Birth window opens", "Cover and a fry place by then.", "drop", "#"),
        Event(ago(-2), "Move Amber to T5", "Early rather than late.", "due"),
        Event(ago(0), "Squared belly seen", "", "carrying", None, "#undo"),
        Event(
            ago(6), "Water changed, 30 %", "Salt topped up with 21 g to hold 1.0 g/L.", "note", "#", "#undo"
        ),
        Event(
            ago(27),
            "Dropped 31 fry in T5",
            "29 live, 2 dead, none early. Dam moved out.",
            "drop",
            "#",
            "#undo",
        ),
        Event(ago(27), "Brood B-14 begun", "", "fry", "#"),
        Event(ago(160), "Exposed to Cinder in T3 left", "Until 12 days later.", "adult", "#"),
        Event(ago(420), "Acquired as a juvenile", "Origin water: 1.5 g/L, GH 14, 25 °C.", "quarantine"),
    )


def _growth(today: date) -> Chart:
    days = tuple(today - timedelta(days=70 - 7 * i) for i in range(15))
    likely = tuple(round(7.2 + 20 * (1 - 2.718281828 ** (-i / 9)), 2) for i in range(15))
    seen: tuple[float | None, ...] = (7.4, None, 11.9, None, 14.1, 15.2, None, 17.9, None, 19.0, *[None] * 5)
    return Chart(
        "Growth of batch B-12a",
        "From 7 mm at birth to 21 mm now; a little ahead of expectation.",
        "Day",
        "Total length, mm",
        days,
        (Series("expected", likely), Series("measured, mean of a sample", seen, "dots", "drop")),
        (Band("8 of 10 fish", tuple(v * 0.88 for v in likely), tuple(v * 1.12 for v in likely)),),
    )


def _survival() -> Chart:
    return Chart(
        "Survival of batch B-12a",
        "31 at birth, 24 alive at 70 days.",
        "Age, days",
        "Alive",
        (0.0, 7.0, 14.0, 28.0, 42.0, 70.0),
        (Series("alive", (31, 29, 27, 25, 25, 24), "steps", "fry"),),
        places=0,
    )


def _lanes(today: date, along: Axis) -> tuple[Lane, ...]:
    def at(days: int) -> date:
        return today + timedelta(days=days)

    def seen(ahead: int, days: float, stage: str, word: str, words: str) -> LaneWindow:
        middle, spread = at(ahead), _spread(at(ahead), days)
        reach = round(1.2816 * days)
        window = Window(middle - timedelta(days=reach), middle + timedelta(days=reach))
        ribbon = ribbon_from_cdf(
            lambda d: spread.cdf(d.toordinal() + 1), window, middle, today, span=along.span, stage=stage
        )
        return LaneWindow(ribbon, word, words)

    grown = row(
        along, "B-12a", "#", [stay(along, at(-40), at(23), "growing", "stands here for three weeks more")],
        [seen(20, 4, "ready", "rehome", "B-12a: rehoming")],
    )  # fmt: skip
    amber = row(
        along, "Amber", "#", [stay(along, at(-60), None, "adult", "stands here")],
        [
            seen(8, 3.4, "carrying", "drop", "Amber: birth window"),
            seen(39, 5, "waiting", "later drop", "Amber: drop after that"),
            seen(66, 6, "waiting", "later drop", "Amber: drop after that"),
        ],
    )  # fmt: skip
    close = row(
        along, "B-14", "#", [stay(along, at(-5), None, "growing", "stands here")],
        [seen(9, 2, "sexing", "sex", "B-14: sex"), seen(15, 3, "ready", "rehome", "B-14: rehoming")],
    )  # fmt: skip
    return (
        lane("T1", "", "#", [grown]),
        lane("T3", "", "#", [amber, close, row(along, "B-9", "#", [], [])]),
        lane("Shelf 12", "nothing ahead", "#", []),
        lane("T9", "free", "#", []),
    )


def specimen(today: date) -> Specimen:
    """Return the objects that the page of components needs."""
    wrong = DropForm(
        MultiDict({"day": "", "live": "some", "length": "77 F", "kind": "seen", "words": "Found at noon."})
    )
    wrong.validate()
    wrong.length.errors = ["77 F is a temperature; give a length such as 7.5 mm or 0.3 in."]
    along = axis(today - timedelta(days=14), today + timedelta(days=69), today)
    return Specimen(
        today=today,
        stages=STAGES,
        plain_form=DropForm(data={"day": today, "kind": "seen", "signs": ["spot", "hiding"], "where": "t5"}),
        wrong_form=wrong,
        messages=(
            Message("done", "Drop logged: 29 live fry in T5. Next birth window 30 days on.", "#undo"),
            Message("refused", "Not saved: the drop lies before the pairing of 3 May."),
            Message("note", "The demo fishroom is loaded afresh each night."),
        ),
        ribbons=ribbons(today),
        why=Why(
            "birth-window",
            (
                Used("Her own last intervals", "29, 31, 30 days", 0.62),
                Used("Others of her line", "30.4 days, 11 drops", 0.27),
                Used("Tank temperature", "24.6 °C over 18 days", 0.11),
            ),
            "Guppies at 25 °C: 28 days, 22 to 34 in 8 of 10.",
            "Compiled from published brood intervals; see the method.",
            "Fair: three intervals of her own.",
            ("The day of her next drop", "A temperature reading each week"),
        ),
        thin_why=Why(
            "birth-window",
            (Used("Species only", "no drop of hers is known"),),
            "Goodeids of this size: 55 days, 45 to 70 in 8 of 10.",
            "Two published series, few fish.",
            "Rests on thin published data.",
        ),
        history=_history(today),
        growth=_growth(today),
        survival=_survival(),
        axis=along,
        lanes=_lanes(today, along),
        forebears=FOREBEARS,
    )
