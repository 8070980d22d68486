"""A chain over every record, and kept files in the ledger itself.

Each row says under which seal it was written last. What is here already stands under the first seal, which the program
sets when the tables are ready. Rows with personal data are given random bytes, so that their digests cannot be guessed.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "20261127_seals"
down_revision = "20261127_document_columns"
branch_labels = None
depends_on = None

SEALED = (
    *("accessory", "audit_note", "bill", "bill_line", "bill_payment", "cancellation", "certificate", "customer"),
    *("deposit", "draft_order", "draft_recording", "expense", "extra", "frame", "impact_record", "inspection"),
    *("inspection_omission", "inspection_reading", "inspection_verdict", "journal_entry", "kept_file", "lens"),
    *("lens_arrival", "lens_blank", "lens_order", "money_move", "offer", "offer_match", "order_charge", "order_line"),
    *("order_pair", "order_pair_extra", "order_pair_eye", "order_warning", "paper_wording", "payment", "period_event"),
    *("prescriber", "prescription", "prescription_diagnosis", "prescription_eye", "prescription_warning", "receipt"),
    *("receipt_claim", "receipt_print", "receipt_replacement", "refund", "refund_part", "remake", "shipment", "shop"),
    *("shop_order", "shop_settings", "stock_issue", "stock_level", "stock_movement", "supplier", "taken_back"),
    *("tax_rate", "trace", "wearer"),
)
SALTED = (
    *("cancellation", "certificate", "customer", "deposit", "draft_order", "impact_record", "inspection"),
    *("inspection_omission", "inspection_reading", "inspection_verdict", "lens_arrival", "lens_order"),
    *("order_charge", "order_pair", "order_pair_eye", "order_warning", "prescription", "prescription_diagnosis"),
    *("prescription_eye", "prescription_warning", "receipt", "receipt_replacement", "refund", "remake", "shipment"),
    *("shop_order", "wearer"),
)
RANDOM = {
    "sqlite": "lower(hex(randomblob(16)))",
    "postgresql": "replace(CAST(gen_random_uuid() AS TEXT), '-', '')",
}
FIRST = "1"


def upgrade() -> None:
    _seal()
    _kept_body()
    random = RANDOM[op.get_bind().dialect.name]
    for table in SEALED:
        op.add_column(table, sa.Column("seal", sa.Integer(), nullable=False, server_default=FIRST))
        op.create_index(op.f(f"ix_{table}_seal"), table, ["seal"])
    for table in SALTED:
        op.add_column(table, sa.Column("salt", sa.Text(), nullable=False, server_default=""))
        op.execute(f"UPDATE {table} SET salt = {random}")  # noqa: S608 - the names above


def downgrade() -> None:
    for table in SEALED:
        op.drop_index(op.f(f"ix_{table}_seal"), table)
        op.drop_column(table, "seal")
    for table in SALTED:
        op.drop_column(table, "salt")
    op.drop_table("kept_body")
    op.drop_table("seal")


def _seal() -> None:
    op.create_table(
        "seal",
        sa.Column("number", sa.Integer(), nullable=False, autoincrement=False),
        *(sa.Column(name, sa.Text(), nullable=False) for name in ("operator", "recorded_at", "note", "body", "hash")),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_seal")),
        *_checks("seal", number_counts="number >= 1", body_filled="body <> ''", hash_whole="length(hash) = 64"),
        sqlite_strict=True,
    )


def _kept_body() -> None:
    op.create_table(
        "kept_body",
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.Column("seal", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_kept_body")),
        sa.ForeignKeyConstraint(
            ["sha256"], ["kept_file.sha256"], name=op.f("fk_kept_body_sha256_kept_file"), ondelete="RESTRICT"
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_kept_body_seal"), "kept_body", ["seal"])


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())
