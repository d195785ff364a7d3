"""water, plans and cases; readings of every quantity."""

from collections import defaultdict
from collections.abc import Callable
from datetime import UTC, date
from typing import Any
from zoneinfo import ZoneInfo

import sqlalchemy as sa
from alembic import op
from sqlalchemy.schema import SchemaItem

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "source_water",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("salinity_g_per_l", sa.Double(), nullable=True),
        sa.Column("gh_dh", sa.Double(), nullable=True),
        sa.Column("kh_dh", sa.Double(), nullable=True),
        sa.Column("ph", sa.Double(), nullable=True),
        sa.Column("nitrate_mg_per_l", sa.Double(), nullable=True),
        sa.Column("temperature_c", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("retired_on", sa.Date(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_source_water_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_source_water")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_source_water_fishroom_id_id")),
        sa.UniqueConstraint("fishroom_id", "name", name=op.f("uq_source_water_fishroom_id_name")),
    )
    with op.batch_alter_table("source_water", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_source_water_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "substance",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "salt",
                "mineral salt",
                "medicine",
                "other",
                name="substancekind",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column(
            "measure",
            sa.Enum("g", "mL", "piece", name="measure", native_enum=False, create_constraint=True, length=32),
            nullable=False,
        ),
        sa.Column(
            "hazard",
            sa.Enum(
                "none",
                "formaldehyde type",
                "dye",
                "copper",
                "oxidiser",
                "antibiotic",
                name="hazard",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("formula", sa.String(length=40), nullable=False),
        sa.Column("gh_dh_per_unit_l", sa.Double(), nullable=True),
        sa.Column("kh_dh_per_unit_l", sa.Double(), nullable=True),
        sa.Column("label_dose_per_l", sa.Double(), nullable=True),
        sa.Column("half_life_days", sa.Double(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("retired_on", sa.Date(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_substance_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_substance")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_substance_fishroom_id_id")),
        sa.UniqueConstraint("fishroom_id", "name", name=op.f("uq_substance_fishroom_id_name")),
    )
    with op.batch_alter_table("substance", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_substance_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "dose",
        sa.Column("tank_id", sa.Integer(), nullable=False),
        sa.Column("substance_id", sa.Integer(), nullable=False),
        sa.Column("dosed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("amount", sa.Double(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("amount > 0", name=op.f("ck_dose_amount_positive")),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "substance_id"],
            ["substance.fishroom_id", "substance.id"],
            name=op.f("fk_dose_fishroom_id_substance_id_substance"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_dose_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_dose_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_dose")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_dose_fishroom_id_id")),
    )
    with op.batch_alter_table("dose", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_dose_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_dose_substance_id"), ["substance_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_dose_tank_id"), ["tank_id"], unique=False)

    op.create_table(
        "fry_care",
        sa.Column("line_id", sa.Integer(), nullable=True),
        sa.Column("from_age_days", sa.Integer(), nullable=False),
        sa.Column("feeds_a_day", sa.Integer(), nullable=False),
        sa.Column("change_every_days", sa.Integer(), nullable=False),
        sa.Column("change_fraction", sa.Double(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "change_fraction > 0 AND change_fraction <= 1", name=op.f("ck_fry_care_fraction_of_the_water")
        ),
        sa.CheckConstraint(
            "feeds_a_day > 0 AND change_every_days > 0", name=op.f("ck_fry_care_something_to_do")
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "line_id"],
            ["line.fishroom_id", "line.id"],
            name=op.f("fk_fry_care_fishroom_id_line_id_line"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_fry_care_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fry_care")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_fry_care_fishroom_id_id")),
        sa.UniqueConstraint(
            "fishroom_id",
            "line_id",
            "from_age_days",
            name=op.f("uq_fry_care_fishroom_id_line_id_from_age_days"),
        ),
    )
    with op.batch_alter_table("fry_care", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_fry_care_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_fry_care_line_id"), ["line_id"], unique=False)

    op.create_table(
        "logger",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("tank_id", sa.Integer(), nullable=True),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("heard_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_logger_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_logger_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_logger")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_logger_fishroom_id_id")),
        sa.UniqueConstraint("fishroom_id", "name", name=op.f("uq_logger_fishroom_id_name")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_logger_token_hash")),
    )
    with op.batch_alter_table("logger", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_logger_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_logger_tank_id"), ["tank_id"], unique=False)

    op.create_table(
        "reading_day",
        sa.Column("tank_id", sa.Integer(), nullable=False),
        sa.Column(
            "quantity",
            sa.Enum(
                "temperature",
                "pH",
                "GH",
                "KH",
                "total ammonia",
                "nitrite",
                "nitrate",
                "salinity",
                name="quantity",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("low", sa.Double(), nullable=False),
        sa.Column("high", sa.Double(), nullable=False),
        sa.Column("mean", sa.Double(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("low <= high AND number > 0", name=op.f("ck_reading_day_adds_up")),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_reading_day_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_reading_day_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_reading_day")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_reading_day_fishroom_id_id")),
        sa.UniqueConstraint("tank_id", "quantity", "day", name=op.f("uq_reading_day_tank_id_quantity_day")),
    )
    with op.batch_alter_table("reading_day", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_reading_day_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(
            "ix_reading_day_fishroom_id_quantity_day", ["fishroom_id", "quantity", "day"], unique=False
        )

    op.create_table(
        "water_change",
        sa.Column("tank_id", sa.Integer(), nullable=False),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "change", "top-up", name="watermove", native_enum=False, create_constraint=True, length=32
            ),
            nullable=False,
        ),
        sa.Column("litres", sa.Double(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("litres > 0", name=op.f("ck_water_change_litres_positive")),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_water_change_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_water_change_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_change")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_water_change_fishroom_id_id")),
    )
    with op.batch_alter_table("water_change", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_water_change_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_water_change_tank_id"), ["tank_id"], unique=False)

    op.create_table(
        "water_target",
        sa.Column("line_id", sa.Integer(), nullable=True),
        sa.Column("tank_id", sa.Integer(), nullable=True),
        sa.Column(
            "quantity",
            sa.Enum(
                "temperature",
                "pH",
                "GH",
                "KH",
                "total ammonia",
                "nitrite",
                "nitrate",
                "salinity",
                name="quantity",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("low", sa.Double(), nullable=True),
        sa.Column("high", sa.Double(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(line_id IS NULL) <> (tank_id IS NULL)", name=op.f("ck_water_target_of_a_line_or_a_tank")
        ),
        sa.CheckConstraint(
            "low IS NULL OR high IS NULL OR low <= high", name=op.f("ck_water_target_low_below_high")
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "line_id"],
            ["line.fishroom_id", "line.id"],
            name=op.f("fk_water_target_fishroom_id_line_id_line"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_water_target_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_water_target_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water_target")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_water_target_fishroom_id_id")),
        sa.UniqueConstraint("line_id", "quantity", name=op.f("uq_water_target_line_id_quantity")),
        sa.UniqueConstraint("tank_id", "quantity", name=op.f("uq_water_target_tank_id_quantity")),
    )
    with op.batch_alter_table("water_target", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_water_target_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "poured",
        sa.Column("change_id", sa.Integer(), nullable=False),
        sa.Column("source_id", sa.Integer(), nullable=False),
        sa.Column("litres", sa.Double(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("litres > 0", name=op.f("ck_poured_litres_positive")),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "change_id"],
            ["water_change.fishroom_id", "water_change.id"],
            name=op.f("fk_poured_fishroom_id_change_id_water_change"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "source_id"],
            ["source_water.fishroom_id", "source_water.id"],
            name=op.f("fk_poured_fishroom_id_source_id_source_water"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_poured_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_poured")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_poured_fishroom_id_id")),
    )
    with op.batch_alter_table("poured", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_poured_change_id"), ["change_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_poured_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_poured_source_id"), ["source_id"], unique=False)

    op.create_table(
        "case",
        sa.Column("fish_id", sa.Integer(), nullable=True),
        sa.Column("batch_id", sa.Integer(), nullable=True),
        sa.Column("tank_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=120), nullable=False),
        sa.Column("opened_on", sa.Date(), nullable=False),
        sa.Column("suspected", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column(
            "outcome",
            sa.Enum(
                "recovered",
                "better, not cured",
                "died",
                "killed humanely",
                "left the fishroom",
                "unclear",
                name="caseoutcome",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=True,
        ),
        sa.Column("what_helped", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(CASE WHEN fish_id IS NULL THEN 0 ELSE 1 END) + (CASE WHEN batch_id IS NULL THEN 0 ELSE 1 END)"
            " + (CASE WHEN tank_id IS NULL THEN 0 ELSE 1 END) = 1",
            name=op.f("ck_case_of_one_fish_batch_or_tank"),
        ),
        sa.CheckConstraint(
            "(closed_on IS NULL) = (outcome IS NULL)", name=op.f("ck_case_closed_with_an_outcome")
        ),
        sa.CheckConstraint(
            "closed_on IS NULL OR closed_on >= opened_on", name=op.f("ck_case_closes_after_it_opens")
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "batch_id"],
            ["batch.fishroom_id", "batch.id"],
            name=op.f("fk_case_fishroom_id_batch_id_batch"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "fish_id"],
            ["fish.fishroom_id", "fish.id"],
            name=op.f("fk_case_fishroom_id_fish_id_fish"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_case_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_case_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_case")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_case_fishroom_id_id")),
    )
    with op.batch_alter_table("case", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_case_batch_id"), ["batch_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_case_fish_id"), ["fish_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_case_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_case_tank_id"), ["tank_id"], unique=False)

    op.create_table(
        "case_photo",
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("taken_on", sa.Date(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "case_id"],
            ["case.fishroom_id", "case.id"],
            name=op.f("fk_case_photo_fishroom_id_case_id_case"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_case_photo_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_case_photo")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_case_photo_fishroom_id_id")),
    )
    with op.batch_alter_table("case_photo", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_case_photo_case_id"), ["case_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_case_photo_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "case_sign",
        sa.Column("case_id", sa.Integer(), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "clamped fins",
                "cotton-like tufts",
                "white spots",
                "gold or rusty dust",
                "frayed fins",
                "sores or red patches",
                "swollen belly",
                "raised scales",
                "thin or sunken belly",
                "bent spine",
                "gasping at the surface",
                "rubbing on things",
                "rocking on the spot",
                "lying on the bottom",
                "off food",
                "worms or threads at the vent",
                "pale or slimy",
                "deaths without a mark",
                "something else",
                name="ailing",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("seen_on", sa.Date(), nullable=False),
        sa.Column("gone_on", sa.Date(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "case_id"],
            ["case.fishroom_id", "case.id"],
            name=op.f("fk_case_sign_fishroom_id_case_id_case"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_case_sign_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_case_sign")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_case_sign_fishroom_id_id")),
    )
    with op.batch_alter_table("case_sign", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_case_sign_case_id"), ["case_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_case_sign_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "plan",
        sa.Column(
            "kind",
            sa.Enum(
                "course",
                "acclimation",
                "quarantine",
                "back to plain water",
                name="plankind",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("tank_id", sa.Integer(), nullable=False),
        sa.Column("case_id", sa.Integer(), nullable=True),
        sa.Column("substance_id", sa.Integer(), nullable=True),
        sa.Column("source_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=120), nullable=False),
        sa.Column("started_on", sa.Date(), nullable=False),
        sa.Column("ended_on", sa.Date(), nullable=True),
        sa.Column("outcome", sa.String(length=160), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "ended_on IS NULL OR ended_on >= started_on", name=op.f("ck_plan_ends_after_it_starts")
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "case_id"],
            ["case.fishroom_id", "case.id"],
            name=op.f("fk_plan_fishroom_id_case_id_case"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "source_id"],
            ["source_water.fishroom_id", "source_water.id"],
            name=op.f("fk_plan_fishroom_id_source_id_source_water"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "substance_id"],
            ["substance.fishroom_id", "substance.id"],
            name=op.f("fk_plan_fishroom_id_substance_id_substance"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_plan_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_plan_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_plan_fishroom_id_id")),
    )
    with op.batch_alter_table("plan", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_plan_case_id"), ["case_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_plan_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_plan_substance_id"), ["substance_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_plan_tank_id"), ["tank_id"], unique=False)

    op.create_table(
        "plan_fish",
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("fish_id", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "fish_id"],
            ["fish.fishroom_id", "fish.id"],
            name=op.f("fk_plan_fish_fishroom_id_fish_id_fish"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "plan_id"],
            ["plan.fishroom_id", "plan.id"],
            name=op.f("fk_plan_fish_fishroom_id_plan_id_plan"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_plan_fish_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan_fish")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_plan_fish_fishroom_id_id")),
        sa.UniqueConstraint("plan_id", "fish_id", name=op.f("uq_plan_fish_plan_id_fish_id")),
    )
    with op.batch_alter_table("plan_fish", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_plan_fish_fish_id"), ["fish_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_plan_fish_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_plan_fish_plan_id"), ["plan_id"], unique=False)

    op.create_table(
        "plan_step",
        sa.Column("plan_id", sa.Integer(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=False),
        sa.Column(
            "kind",
            sa.Enum(
                "raise to",
                "dose",
                "change water",
                "look",
                "decide",
                name="stepkind",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("level", sa.Double(), nullable=True),
        sa.Column("fraction", sa.Double(), nullable=True),
        sa.Column("salinity_g_per_l", sa.Double(), nullable=True),
        sa.Column("gh_dh", sa.Double(), nullable=True),
        sa.Column("temperature_c", sa.Double(), nullable=True),
        sa.Column("done_on", sa.Date(), nullable=True),
        sa.Column("skipped", sa.Boolean(), nullable=False),
        sa.Column("dose_id", sa.Integer(), nullable=True),
        sa.Column("change_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "fraction IS NULL OR (fraction > 0 AND fraction <= 1)",
            name=op.f("ck_plan_step_fraction_of_the_water"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "change_id"],
            ["water_change.fishroom_id", "water_change.id"],
            name=op.f("fk_plan_step_fishroom_id_change_id_water_change"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "dose_id"],
            ["dose.fishroom_id", "dose.id"],
            name=op.f("fk_plan_step_fishroom_id_dose_id_dose"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "plan_id"],
            ["plan.fishroom_id", "plan.id"],
            name=op.f("fk_plan_step_fishroom_id_plan_id_plan"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_plan_step_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan_step")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_plan_step_fishroom_id_id")),
    )
    with op.batch_alter_table("plan_step", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_plan_step_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_plan_step_plan_id"), ["plan_id"], unique=False)

    _readings_by_quantity()
    with op.batch_alter_table("tank", schema=None) as batch_op:
        batch_op.add_column(sa.Column("planted", sa.Boolean(), server_default=sa.false(), nullable=False))
        batch_op.add_column(
            sa.Column("invertebrates", sa.Boolean(), server_default=sa.false(), nullable=False)
        )
        batch_op.add_column(
            sa.Column("soft_water_mates", sa.Boolean(), server_default=sa.false(), nullable=False)
        )
        batch_op.add_column(sa.Column("feed_g_per_day", sa.Double(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("tank", schema=None) as batch_op:
        batch_op.drop_column("feed_g_per_day")
        batch_op.drop_column("soft_water_mates")
        batch_op.drop_column("invertebrates")
        batch_op.drop_column("planted")

    _temperatures_only()
    op.drop_table("plan_step")
    op.drop_table("plan_fish")
    op.drop_table("plan")
    op.drop_table("case_sign")
    op.drop_table("case_photo")
    op.drop_table("case")
    op.drop_table("poured")
    op.drop_table("water_target")
    op.drop_table("water_change")
    op.drop_table("reading_day")
    op.drop_table("logger")
    op.drop_table("fry_care")
    op.drop_table("dose")
    op.drop_table("substance")
    op.drop_table("source_water")


CHANGES = sa.table(
    "change",
    sa.column("id"),
    sa.column("table_name"),
    sa.column("before", sa.JSON(none_as_null=True)),
    sa.column("after", sa.JSON(none_as_null=True)),
)


def _readings_by_quantity() -> None:
    """Give every reading its quantity; a table is made anew, because SQLite cannot alter its checks."""
    op.create_table(
        "kept_reading",
        *_plain("id", "fishroom_id", "tank_id"),
        sa.Column("taken_at", sa.DateTime(timezone=True)),
        sa.Column("value", sa.Double()),
    )
    op.execute(
        "INSERT INTO kept_reading SELECT id, fishroom_id, tank_id, taken_at, temperature_c FROM reading"
    )
    op.drop_table("reading")
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.Column("tank_id", sa.Integer(), nullable=False),
        sa.Column("logger_id", sa.Integer(), nullable=True),
        sa.Column(
            "quantity",
            sa.Enum(
                "temperature",
                "pH",
                "GH",
                "KH",
                "total ammonia",
                "nitrite",
                "nitrate",
                "salinity",
                name="quantity",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("value", sa.Double(), nullable=False),
        sa.CheckConstraint(
            "value >= 0 AND (quantity <> 'temperature' OR value <= 45)", name=op.f("ck_reading_plausible")
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "logger_id"],
            ["logger.fishroom_id", "logger.id"],
            name=op.f("fk_reading_fishroom_id_logger_id_logger"),
        ),
        *_owned(),
        sa.UniqueConstraint("logger_id", "tank_id", "quantity", "taken_at", name="uq_reading_once"),
    )
    op.create_index(op.f("ix_reading_fishroom_id"), "reading", ["fishroom_id"])
    op.create_index("ix_reading_tank_id_quantity_taken_at", "reading", ["tank_id", "quantity", "taken_at"])
    op.execute(
        "INSERT INTO reading (id, fishroom_id, tank_id, quantity, taken_at, value)"
        " SELECT id, fishroom_id, tank_id, 'temperature', taken_at, value FROM kept_reading"
    )
    _go_on_counting()
    _rewrite(
        lambda row: {
            **{k: v for k, v in row.items() if k != "temperature_c"},
            "logger_id": None,
            "quantity": "temperature",
            "value": row["temperature_c"],
        }
    )
    _days()


def _temperatures_only() -> None:
    op.create_table(
        "kept_reading",
        *_plain("id", "fishroom_id", "tank_id"),
        sa.Column("taken_at", sa.DateTime(timezone=True)),
        sa.Column("value", sa.Double()),
    )
    op.execute(
        "INSERT INTO kept_reading SELECT id, fishroom_id, tank_id, taken_at, value FROM reading"
        " WHERE quantity = 'temperature'"
    )
    op.drop_table("reading")
    op.create_table(
        "reading",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.Column("tank_id", sa.Integer(), nullable=False),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("temperature_c", sa.Double(), nullable=False),
        sa.CheckConstraint("temperature_c BETWEEN 0 AND 45", name=op.f("ck_reading_temperature_plausible")),
        *_owned(),
    )
    op.create_index(op.f("ix_reading_fishroom_id"), "reading", ["fishroom_id"])
    op.create_index("ix_reading_tank_id_taken_at", "reading", ["tank_id", "taken_at"])
    op.execute(
        "INSERT INTO reading (id, fishroom_id, tank_id, taken_at, temperature_c)"
        " SELECT id, fishroom_id, tank_id, taken_at, value FROM kept_reading"
    )
    _go_on_counting()
    _rewrite(
        lambda row: {
            **{k: v for k, v in row.items() if k not in {"value", "quantity", "logger_id"}},
            "temperature_c": row["value"],
        }
    )


def _plain(*names: str) -> list[sa.Column[int]]:
    return [sa.Column(name, sa.Integer()) for name in names]


def _owned() -> list[SchemaItem]:
    return [
        sa.ForeignKeyConstraint(
            ["fishroom_id", "tank_id"],
            ["tank.fishroom_id", "tank.id"],
            name=op.f("fk_reading_fishroom_id_tank_id_tank"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_reading_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_reading_fishroom_id_id")),
    ]


def _go_on_counting() -> None:
    """Let PostgreSQL number new rows after those that were carried over."""
    op.drop_table("kept_reading")
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            "SELECT setval(pg_get_serial_sequence('reading', 'id'),"
            " (SELECT coalesce(max(id), 0) + 1 FROM reading), false)"
        )


def _rewrite(told: Callable[[dict[str, Any]], dict[str, Any]]) -> None:
    """Tell the journal's rows of readings in the new columns, so that old acts can still be taken back."""
    bind = op.get_bind()
    for row in bind.execute(sa.select(CHANGES).where(CHANGES.c.table_name == "reading")).all():
        sides = {side: told(kept) for side in ("before", "after") if (kept := getattr(row, side)) is not None}
        bind.execute(CHANGES.update().where(CHANGES.c.id == row.id).values(**sides))


def _days() -> None:
    """Add the readings that are there up by the fishroom's days."""
    bind = op.get_bind()
    reading = sa.table(
        "reading",
        sa.column("fishroom_id"),
        sa.column("tank_id"),
        sa.column("taken_at", sa.DateTime(timezone=True)),
        sa.column("value"),
    )
    room = sa.table("fishroom", sa.column("id"), sa.column("time_zone"))
    zones = {key: ZoneInfo(zone) for key, zone in bind.execute(sa.select(room.c.id, room.c.time_zone))}
    days: dict[tuple[int, int, date], list[float]] = defaultdict(list)
    for owner, tank, at, value in bind.execute(sa.select(reading)):
        moment = at if at.tzinfo else at.replace(tzinfo=UTC)
        days[owner, tank, moment.astimezone(zones[owner]).date()].append(value)
    table = sa.table(
        "reading_day",
        *(
            sa.column(name)
            for name in ("fishroom_id", "tank_id", "quantity", "low", "high", "mean", "number")
        ),
        sa.column("day", sa.Date()),
    )
    rows = [
        {
            "fishroom_id": owner,
            "tank_id": tank,
            "quantity": "temperature",
            "day": day,
            "low": min(values),
            "high": max(values),
            "mean": sum(values) / len(values),
            "number": len(values),
        }
        for (owner, tank, day), values in days.items()
    ]
    if rows:
        bind.execute(table.insert(), rows)
