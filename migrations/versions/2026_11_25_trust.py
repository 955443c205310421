"""Trust: what was done in each change, when a key was last used, answers kept for a repeated request.

Revision ID: 5c0d9e7ab214
Revises: 1a67e3a2fad9
"""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = '5c0d9e7ab214'
down_revision: str | None = '1a67e3a2fad9'
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

SUBJECTS = (
    "subject IN ('school', 'site', 'kit', 'kit-lot', 'watershed', 'criterion', 'index', 'key', 'visit')"
)
DEEDS = "action IN ('made', 'changed', 'decided', 'reckoned', 'withdrawn', 'removed')"


def upgrade() -> None:
    with op.batch_alter_table('change', schema=None) as batch_op:
        batch_op.add_column(sa.Column('action', sa.String(32), server_default='changed', nullable=False))
        batch_op.add_column(sa.Column('what', sa.String(300), server_default=sa.text("''"), nullable=False))
        batch_op.drop_constraint(batch_op.f('ck_change_subject_known'), type_='check')
        batch_op.create_check_constraint(batch_op.f('ck_change_subject_listed'), SUBJECTS)
        batch_op.create_check_constraint(batch_op.f('ck_change_action_known'), DEEDS)
        batch_op.create_index('ix_change_subject', ['subject', 'subject_id'], unique=False)

    with op.batch_alter_table('access_key', schema=None) as batch_op:
        batch_op.add_column(sa.Column('last_used_at', sa.DateTime(timezone=True), nullable=True))

    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.add_column(sa.Column('published', sa.Boolean(), server_default=sa.false(), nullable=False))
    # Whatever is public now has been seen; of a visit that was public before nobody knows any more.
    op.execute("UPDATE visit SET published = true WHERE state = 'released'")

    op.create_table('answered_once',
    sa.Column('caller', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('token', sa.String(255).with_variant(sa.String(255, collation="C"), "postgresql"), nullable=False),
    sa.Column('address', sa.String(300), nullable=False),
    sa.Column('content_hash', sa.String(64), nullable=False),
    sa.Column('answer', sa.Text(), nullable=True),
    sa.Column('at', sa.DateTime(timezone=True), nullable=False),
    sa.PrimaryKeyConstraint('caller', 'token', name=op.f('pk_answered_once'))
    )
    with op.batch_alter_table('answered_once', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_answered_once_at'), ['at'], unique=False)


def downgrade() -> None:
    op.drop_table('answered_once')
    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.drop_column('published')

    with op.batch_alter_table('access_key', schema=None) as batch_op:
        batch_op.drop_column('last_used_at')

    # The rows of the newer subjects stay, so the old name goes with the wider rule.
    with op.batch_alter_table('change', schema=None) as batch_op:
        batch_op.drop_index('ix_change_subject')
        batch_op.drop_constraint(batch_op.f('ck_change_action_known'), type_='check')
        batch_op.drop_constraint(batch_op.f('ck_change_subject_listed'), type_='check')
        batch_op.create_check_constraint(batch_op.f('ck_change_subject_known'), SUBJECTS)
        batch_op.drop_column('what')
        batch_op.drop_column('action')
