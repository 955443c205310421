"""Review: decisions, alerts, boxes of kits, duplicates and blanks, distances from the usual.

Revision ID: d73be1687584
Revises: 02197b4b988b
"""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision: str = 'd73be1687584'
down_revision: str | None = '02197b4b988b'
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    op.create_table('kit_lot',
    sa.Column('school', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('code', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('kit', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('expires_on', sa.Date(), nullable=True),
    sa.Column('blank_failed_on', sa.Date(), nullable=True),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.ForeignKeyConstraint(['school'], ['school.code'], name=op.f('fk_kit_lot_school')),
    sa.PrimaryKeyConstraint('school', 'code', name=op.f('pk_kit_lot'))
    )
    op.create_table('alert',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('alert', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('message', sa.String(1000), nullable=False),
    sa.Column('cautions', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('raised_at', sa.DateTime(timezone=True), nullable=False),
    sa.Column('acknowledged_at', sa.DateTime(timezone=True), nullable=True),
    sa.Column('acknowledged_by', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_alert_visit_id_revision')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', 'alert', name=op.f('pk_alert'))
    )
    with op.batch_alter_table('alert', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_alert_acknowledged_at'), ['acknowledged_at'], unique=False)

    op.create_table('decision',
    sa.Column('id', sa.Uuid(), nullable=False),
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), nullable=False),
    sa.Column('action', sa.String(32), nullable=False),
    sa.Column('position', sa.SmallInteger(), nullable=True),
    sa.Column('flag_before', sa.SmallInteger(), nullable=True),
    sa.Column('flag', sa.SmallInteger(), nullable=True),
    sa.Column('state_before', sa.String(32), nullable=False),
    sa.Column('state', sa.String(32), nullable=False),
    sa.Column('reason', sa.String(1000), nullable=False),
    sa.Column('key_id', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('decided_at', sa.DateTime(timezone=True), nullable=False),
    sa.CheckConstraint("(action = 'set-flag') = (position IS NOT NULL)", name=op.f('ck_decision_position_of_set_flag')),
    sa.CheckConstraint("action IN ('release', 'reject', 'set-flag')", name=op.f('ck_decision_action_known')),
    sa.CheckConstraint('(position IS NULL) = (flag IS NULL)', name=op.f('ck_decision_flag_of_a_reading')),
    sa.CheckConstraint('flag IS NULL OR flag IN (1, 2, 3, 4, 9)', name=op.f('ck_decision_flag_known')),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_decision_visit_id_revision')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_decision'))
    )
    with op.batch_alter_table('decision', schema=None) as batch_op:
        batch_op.create_index('ix_decision_visit', ['visit_id', 'revision'], unique=False)

    with op.batch_alter_table('kit', schema=None) as batch_op:
        batch_op.add_column(sa.Column('tablets', sa.Integer(), nullable=True))
        batch_op.add_column(sa.Column('sample_ml', sa.Float(), nullable=True))

    with op.batch_alter_table('reading', schema=None) as batch_op:
        batch_op.add_column(sa.Column('kit_lot', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True))
        batch_op.add_column(sa.Column('anomaly', sa.Float(), nullable=True))
        batch_op.add_column(sa.Column('residual', sa.Float(), nullable=True))
        batch_op.add_column(sa.Column('accepted', sa.Boolean(), server_default=sa.false(), nullable=False))

    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.add_column(sa.Column('kind', sa.String(32), server_default='routine', nullable=False))
        batch_op.create_check_constraint(batch_op.f('ck_visit_kind_known'), "kind IN ('routine', 'field-replicate', 'field-blank')")

    with op.batch_alter_table('visit_revision', schema=None) as batch_op:
        batch_op.add_column(sa.Column('catch_hash', sa.String(64), nullable=True))
        batch_op.add_column(sa.Column('latitude', sa.Float(), nullable=True))
        batch_op.add_column(sa.Column('longitude', sa.Float(), nullable=True))



def downgrade() -> None:
    with op.batch_alter_table('visit_revision', schema=None) as batch_op:
        batch_op.drop_column('longitude')
        batch_op.drop_column('latitude')
        batch_op.drop_column('catch_hash')

    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f('ck_visit_kind_known'), type_='check')
        batch_op.drop_column('kind')

    with op.batch_alter_table('reading', schema=None) as batch_op:
        batch_op.drop_column('accepted')
        batch_op.drop_column('residual')
        batch_op.drop_column('anomaly')
        batch_op.drop_column('kit_lot')

    with op.batch_alter_table('kit', schema=None) as batch_op:
        batch_op.drop_column('sample_ml')
        batch_op.drop_column('tablets')

    with op.batch_alter_table('decision', schema=None) as batch_op:
        batch_op.drop_index('ix_decision_visit')

    op.drop_table('decision')
    with op.batch_alter_table('alert', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_alert_acknowledged_at'))

    op.drop_table('alert')
    op.drop_table('kit_lot')
