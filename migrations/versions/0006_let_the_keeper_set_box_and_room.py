"""let the keeper set days in a fry box and room for each fish."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("fishroom", schema=None) as batch_op:
        batch_op.add_column(sa.Column("box_days", sa.Integer(), server_default="14", nullable=False))
        batch_op.add_column(sa.Column("room_share", sa.Double(), server_default="1", nullable=False))


def downgrade() -> None:
    with op.batch_alter_table("fishroom", schema=None) as batch_op:
        batch_op.drop_column("room_share")
        batch_op.drop_column("box_days")
