"""Plays the waters: what is poured and dosed, changes by the week, top-ups, doses and tests."""

from collections.abc import Iterator
from dataclasses import replace

from app.services import doses, substances, water_changes, water_tests, waters
from app.services.substances import NewSubstance
from app.services.water_changes import Pour
from app.services.water_tests import FIELDS
from app.services.waters import NewWater
from app.store.waters import Hazard, Measure, SubstanceKind
from seed_demo.script import Row
from seed_demo.stage import Stage

COLUMNS = {"gh_dh": "gh", "kh_dh": "kh"}


def add_water(stage: Stage, row: Row) -> None:
    """Add a source water."""
    told = NewWater(
        row.text("name"),
        row.number("salinity"),
        row.number("gh"),
        row.number("kh"),
        row.number("ph"),
        row.number("nitrate"),
        row.number("temperature"),
        row.text("note"),
    )
    waters.add_water(stage.session, stage.actor, told)


def add_substance(stage: Stage, row: Row) -> None:
    """Add something that is dosed."""
    told = NewSubstance(
        row.text("name"),
        SubstanceKind(row.text("kind")),
        Measure(row.text("measure")),
        Hazard(row.text("hazard")),
        row.text("formula"),
        row.number("gh"),
        row.number("kh"),
        row.number("label_dose"),
        row.number("half_life"),
        row.text("note"),
    )
    substances.add_substance(stage.session, stage.actor, told)


def repeated(row: Row) -> Iterator[Row]:
    """Return a row for each time that something was done again."""
    for ago in range(row.ago, row.whole("until") - 1, -row.whole("every")):
        yield replace(row, ago=ago)


def change(stage: Stage, row: Row) -> None:
    """Change the same share in several tanks."""
    pours = [Pour(stage.water(row.text("first")))]
    second = row.number("second_share")
    if second is not None:
        pours = [
            Pour(pours[0].source_id, 100 - second),
            Pour(stage.water(row.text("second")), second),
        ]
    for tank in row.words("tanks"):
        water_changes.log_change(
            stage.session,
            stage.actor,
            stage.tank(tank),
            pours,
            fraction=(row.number("share") or 0) / 100,
            note=row.text("note"),
        )


def top_up(stage: Stage, row: Row) -> None:
    """Replace what evaporated."""
    water_changes.log_top_up(
        stage.session,
        stage.actor,
        stage.tank(row.text("tank")),
        [Pour(stage.water(row.text("water")))],
        litres=row.number("litres") or 0,
    )


def dose(stage: Stage, row: Row) -> None:
    """Dose an amount, or what brings the tank to a level."""
    tank, substance, note = (
        stage.tank(row.text("tank")),
        stage.substance(row.text("substance")),
        row.text("note"),
    )
    level, amount = row.number("level"), row.number("amount")
    if level is not None:
        doses.log_dose_to(stage.session, stage.actor, tank, substance, level=level, note=note)
    else:
        doses.log_dose(stage.session, stage.actor, tank, substance, amount=amount or 0, note=note)


def test(stage: Stage, row: Row) -> None:
    """Test what has a figure in the row."""
    read = {
        quantity: row.number(COLUMNS.get(name, name))
        for quantity, name in FIELDS.items()
        if COLUMNS.get(name, name) in row.cells
    }
    values = {quantity: value for quantity, value in read.items() if value is not None}
    water_tests.log_test(stage.session, stage.actor, stage.tank(row.text("tank")), values)
