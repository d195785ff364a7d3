"""list who waits for fish."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "want",
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("line_id", sa.Integer(), nullable=False),
        sa.Column(
            "sex",
            sa.Enum(
                "mixed",
                "females",
                "males",
                name="batchsex",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("since_on", sa.Date(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("batch_id", sa.Integer(), nullable=True),
        sa.Column("ended_on", sa.Date(), nullable=True),
        sa.Column("rehoming_id", sa.Integer(), nullable=True),
        sa.Column("logged_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("number > 0", name=op.f("ck_want_number_positive")),
        sa.CheckConstraint(
            "rehoming_id IS NULL OR ended_on IS NOT NULL", name=op.f("ck_want_served_is_over")
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "batch_id"],
            ["batch.fishroom_id", "batch.id"],
            name=op.f("fk_want_fishroom_id_batch_id_batch"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "line_id"],
            ["line.fishroom_id", "line.id"],
            name=op.f("fk_want_fishroom_id_line_id_line"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "rehoming_id"],
            ["rehoming.fishroom_id", "rehoming.id"],
            name=op.f("fk_want_fishroom_id_rehoming_id_rehoming"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_want_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_want")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_want_fishroom_id_id")),
    )
    with op.batch_alter_table("want", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_want_batch_id"), ["batch_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_want_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_want_line_id"), ["line_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_want_rehoming_id"), ["rehoming_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("want", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_want_rehoming_id"))
        batch_op.drop_index(batch_op.f("ix_want_line_id"))
        batch_op.drop_index(batch_op.f("ix_want_fishroom_id"))
        batch_op.drop_index(batch_op.f("ix_want_batch_id"))

    op.drop_table("want")
