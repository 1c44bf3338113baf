"""Plans that were shared by a link"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004_shared"
down_revision = "0003_records"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "shared",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("query", sa.String(), nullable=False),
        sa.Column("kitchen", sa.String(), nullable=False),
        sa.Column("created_at_us", sa.BigInteger(), nullable=False),
        sa.Column("expires_at_us", sa.BigInteger(), nullable=False),
        sa.Column("revoked", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shared")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_shared_token_hash")),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    op.drop_table("shared")
