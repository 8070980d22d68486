"""Payout reports of an invented card processor, as such files are written, for tests of readers, deeds, commands."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.processor_layout import ReportLayout

HEADINGS: Final = "payout_id,payout_date,arrival_date,transaction_id,created,type,gross,fee,net,currency"
LAYOUT: Final = ReportLayout(
    payout="payout_id",
    payout_day="payout_date",
    day="created",
    kind="type",
    gross="gross",
    fee="fee",
    net="net",
    transaction_id="transaction_id",
    arrives_on="arrival_date",
    currency="currency",
    words=(("chargeback", "dispute"),),
)
COLUMNS: Final = (
    *("--payout", "payout_id", "--paid", "payout_date", "--day", "created", "--type", "type", "--gross", "gross"),
    *("--fee", "fee", "--net", "net", "--id", "transaction_id", "--arrives", "arrival_date"),
    *("--currency", "currency", "--word", "chargeback=dispute"),
)
"""The same at the command line."""


def cents(amount: int) -> str:
    """Write cents as such files do."""
    return f"{'-' if amount < 0 else ''}{abs(amount) // 100}.{abs(amount) % 100:02d}"


def row(
    payout: str, paid: str, number: str, day: str, kind: str, gross: int, fee: int = 0, *, arrives: str = ""
) -> str:
    """Give one row."""
    net = cents(gross - fee)
    return f"{payout},{paid},{arrives},{number},{day} 14:05:09,{kind},{cents(gross)},{cents(fee)},{net},usd"


def report(*rows: str) -> str:
    """Give a whole report."""
    return "\n".join((HEADINGS, *rows, ""))


WORKED: Final = report(
    row("P-1", "2026-03-05", "t1", "2026-03-02", "charge", 12_995, 407),
    row("P-1", "2026-03-05", "t2", "2026-03-02", "charge", 24_950, 754),
    row("P-1", "2026-03-05", "t3", "2026-03-03", "charge", 4_999, 175),
    row("P-1", "2026-03-05", "t4", "2026-03-04", "refund", -4_999),
    row("P-1", "2026-03-05", "", "2026-03-05", "payout", -36_609),
)
"""Three charges at 2.9 % + 0.30 each, rounded half up charge by charge, and the refund of one: 366.09 (worked by hand,
an invented tariff): 429.44 gross, 13.36 of fees and not 12.75, which is the fee on the sum."""
PAID_OUT: Final = report(
    row("P-9", "2026-03-01", "t9", "2026-02-28", "charge", 530, 30),
    row("P-9", "2026-03-01", "", "2026-03-01", "payout", -500),
)
"""A payout of one charge."""
