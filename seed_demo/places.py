"""Plays tanks, sections and moves."""

from app.services import stays, tanks
from app.services.tanks import Life
from app.store.tanks import SectionKind
from seed_demo.script import Row
from seed_demo.stage import Stage


def add_tank(stage: Stage, row: Row) -> None:
    """Put up a tank."""
    tanks.add_tank(
        stage.session,
        stage.actor,
        name=row.text("name"),
        litres=float(row.text("litres")),
        sections=row.whole("sections"),
        set_point_c=row.number("set_point_c"),
        quarantine=bool(row.text("quarantine")),
        note=row.text("note"),
        life=Life(
            bool(row.text("planted")),
            bool(row.text("invertebrates")),
            bool(row.text("soft_water_mates")),
            row.number("feed"),
        ),
    )


def add_section(stage: Stage, row: Row) -> None:
    """Hang a box into a tank."""
    tanks.add_section(
        stage.session,
        stage.actor,
        stage.tank(row.text("tank")),
        name=row.text("name"),
        kind=SectionKind(row.text("kind")),
        gap_mm=row.number("gap_mm"),
    )


def move(stage: Stage, row: Row) -> None:
    """Move fish or batches."""
    who = row.words("who")
    stays.move(
        stage.session,
        stage.actor,
        section_id=stage.section(row.text("where")),
        on=stage.actor.today,
        fish_ids=[stage.fish(code) for code in who if stage.is_fish(code)],
        batch_ids=[stage.batch(code) for code in who if not stage.is_fish(code)],
    )
