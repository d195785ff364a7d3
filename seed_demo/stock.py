"""Plays lines, fish that come and go, and the signs seen on dams."""

from app.services import fish, lines, signs
from app.services.fish_checks import Water
from app.store.fish import Departure, Origin, Precision, Sex, WithMales
from app.store.signs import SignKind
from seed_demo.script import Row
from seed_demo.stage import Stage


def add_line(stage: Stage, row: Row) -> None:
    """Begin a line."""
    told = lines.NewLine(
        row.text("name"),
        row.text("species"),
        row.text("note"),
        interval_days=row.number("interval_days"),
        sale_length_mm=row.number("sale_length_mm"),
    )
    lines.add_line(stage.session, stage.actor, told)


def arrive(stage: Stage, row: Row) -> None:
    """Let bought or traded fish come."""
    told = fish.Arrival(
        sex=Sex(row.text("sex")),
        arrived_on=stage.actor.today,
        section_id=stage.section(row.text("where")),
        line_id=stage.line(row.text("line")),
        number=len(row.words("codes")),
        codes=row.text("codes"),
        name=row.text("name"),
        origin=Origin(row.text("origin")),
        source=row.text("source"),
        born_on=stage.day_or_none(row, "born_ago"),
        born_precision=Precision(row.text("precision")),
        length_mm=row.number("length_mm"),
        with_males=WithMales(row.text("with_males")),
        water=_water(row),
        quarantine_days=row.whole("quarantine_days"),
        note=row.text("note"),
    )
    fish.acquire(stage.session, stage.actor, told)


def _water(row: Row) -> Water:
    return Water(row.number("salinity"), row.number("gh"), row.number("ph"), row.number("temperature"))


def leave(stage: Stage, row: Row) -> None:
    """Let a fish die or be lost."""
    fish.leave(
        stage.session,
        stage.actor,
        stage.fish(row.text("fish")),
        on=stage.actor.today,
        departure=Departure(row.text("how")),
        note=row.text("note"),
    )


def sign(stage: Stage, row: Row) -> None:
    """Note a sign of a coming drop."""
    signs.log_sign(
        stage.session,
        stage.actor,
        stage.fish(row.text("fish")),
        kind=SignKind(row.text("kind")),
        seen_on=stage.actor.today,
        note=row.text("note"),
    )
