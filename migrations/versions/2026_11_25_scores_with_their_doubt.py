"""Scores with their doubt: criteria, indices of the network, superseded scores, gauging and bottles.

Revision ID: 1a67e3a2fad9
Revises: d73be1687584
"""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision: str = '1a67e3a2fad9'
down_revision: str | None = 'd73be1687584'
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    op.create_table('criterion',
    sa.Column('code', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('name', sa.String(120), nullable=False),
    sa.Column('parameter', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('at_least', sa.Float(), nullable=True),
    sa.Column('at_most', sa.Float(), nullable=True),
    sa.Column('water_class', sa.String(32), nullable=True),
    sa.Column('watershed_scheme', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=True),
    sa.Column('watershed_code', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=True),
    sa.Column('applies_from', sa.Date(), nullable=False),
    sa.Column('applies_until', sa.Date(), nullable=True),
    sa.Column('source', sa.String(300), nullable=False),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.CheckConstraint('(watershed_scheme IS NULL) = (watershed_code IS NULL)', name=op.f('ck_criterion_watershed_whole_or_absent')),
    sa.CheckConstraint('applies_from <= applies_until', name=op.f('ck_criterion_dates_in_order')),
    sa.CheckConstraint('at_least <= at_most', name=op.f('ck_criterion_limits_in_order')),
    sa.CheckConstraint('at_least IS NOT NULL OR at_most IS NOT NULL', name=op.f('ck_criterion_limits_something')),
    sa.PrimaryKeyConstraint('code', name=op.f('pk_criterion'))
    )
    op.create_table('network_index',
    sa.Column('code', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('number', sa.SmallInteger(), autoincrement=False, nullable=False),
    sa.Column('title', sa.String(120), nullable=False),
    sa.Column('watershed_scheme', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=False),
    sa.Column('watershed_code', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=False),
    sa.Column('months', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('gear', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('scoring', sa.String(32), nullable=False),
    sa.Column('metrics', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('bands', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('reference_sites', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('reference_from', sa.Date(), nullable=False),
    sa.Column('reference_until', sa.Date(), nullable=False),
    sa.Column('reference_visits', sa.Integer(), nullable=False),
    sa.Column('reference_version', sa.String(16), nullable=False),
    sa.Column('key_id', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.CheckConstraint('number >= 1', name=op.f('ck_network_index_number_counts_from_one')),
    sa.PrimaryKeyConstraint('code', 'number', name=op.f('pk_network_index'))
    )
    with op.batch_alter_table('score', schema=None) as batch_op:
        batch_op.add_column(sa.Column('superseded', sa.Boolean(), server_default=sa.false(), nullable=False))

    with op.batch_alter_table('visit_revision', schema=None) as batch_op:
        batch_op.add_column(sa.Column('gauging', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=True))
        batch_op.add_column(sa.Column('bottles', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=True))
        batch_op.add_column(sa.Column('scored_with', sa.String(40), server_default=sa.text("''"), nullable=False))


def downgrade() -> None:
    with op.batch_alter_table('visit_revision', schema=None) as batch_op:
        batch_op.drop_column('scored_with')
        batch_op.drop_column('bottles')
        batch_op.drop_column('gauging')

    with op.batch_alter_table('score', schema=None) as batch_op:
        batch_op.drop_column('superseded')

    op.drop_table('network_index')
    op.drop_table('criterion')
