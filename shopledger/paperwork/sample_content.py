"""Invented content of every paper, as a shop would meet it: for looking at changed templates before a customer does."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from shopledger.ledger.catalogue import Reimbursement
from shopledger.ledger.papers.order_summary import OrderSummary, SummaryGroup, SummaryLine
from shopledger.ledger.papers.packing_slip import PackedFor, PackedItem, PackingSlip
from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.ledger.papers.year_statement import YearRow, YearStatement, YearSums, YearWearer
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, ReceiptPair, ReceiptPayment, ReceiptRefund

_SHOP: Final = ShopLines(
    "Sample Row Optical", ("5 Sample Row", "Fennick, OH 43001"), "555-0123", "desk@sample.example.com"
)
_HOME: Final = ("30 Orchard Close", "Millbrae, OH 43002")
_CUSTOMER: Final = "Ilse Marrowdene"
_CHILD: Final = "Tobin Marrowdene"
_HEAD: Final = "128-9f3c5a7be2d41c60"
_MEDICAL: Final = "Prescription glasses count as medical care (26 CFR 1.213-1(e)(1)(iii))."
_TREATMENT: Final = "A treatment of prescription lenses is usually taken as part of the glasses."
_UPKEEP: Final = "Upkeep of prescription glasses may count as medical care, but plans differ on accessories."
_GENERAL: Final = "Listed by the shop as not eligible."


def _line(words: str, code: str, price: int, reduction: int = 0, *, pair: int | None = 1) -> ReceiptLine:
    code, _, modifier = code.partition(" ")
    reason = _MEDICAL if code != "V2750" else _TREATMENT
    return ReceiptLine(
        words, code, modifier, 1, price, reduction, price - reduction, Reimbursement.ELIGIBLE.value, reason, pair
    )


def sample_receipt() -> ReceiptContent:
    """Give a receipt with two pairs, goods beside them, diagnoses and something given back."""
    lines = (
        _line("Harrow Row Finch, moss, 50-19-140", "V2020", 16800),
        _line("Even progressive, right lens", "V2203 RT", 6750),
        _line("Progressive design, right lens", "V2781 RT", 6250),
        _line("Even progressive, left lens", "V2203 LT", 6750),
        _line("Progressive design, left lens", "V2781 LT", 6250),
        _line("Anti-reflective coating, right lens", "V2750 RT", 6498),
        _line("Anti-reflective coating, left lens", "V2750 LT", 6497),
        _line("Harrow Row Lark, brick, 51-18-140", "V2020", 9500, 1900, pair=2),
        _line("Clear single vision, right lens", "V2103 RT", 4000, 4000, pair=2),
        _line("Clear single vision, left lens", "V2103 LT", 4000, 4000, pair=2),
        ReceiptLine("Cleaning kit", "", "", 1, 1200, 0, 1200, Reimbursement.PLAN_DECIDES.value, _UPKEEP, None),
        ReceiptLine("Neck cord", "", "", 1, 900, 0, 900, Reimbursement.NOT_ELIGIBLE.value, _GENERAL, None),
    )
    total = sum(line.charge for line in lines) + 650 + 152
    return ReceiptContent(
        number=1042,
        issued_on="2026-03-14",
        shop_name=_SHOP.name,
        shop_lines=_SHOP.address,
        shop_phone=_SHOP.phone,
        shop_email=_SHOP.email,
        ein="12-3456789",
        npi="1234567893",
        wording="Questions about this receipt: call on weekdays.",
        wearer=_CUSTOMER,
        wearer_birth_date="1978-11-23",
        customer=_CUSTOMER,
        customer_lines=_HOME,
        relationship="",
        member_id="ZX-0091823",
        order_number=311,
        order_day="2026-02-27",
        dispensed_on="2026-03-09",
        prescriber="Dr. Imre Castellane",
        prescriber_npi="1000000004",
        prescription_day="2026-02-20",
        pairs=(
            ReceiptPair(
                1,
                57,
                "Even progressive in Harrow Row Finch, moss, 50-19-140",
                "-2.50 -1.25 x 090 add 2.00",
                "-2.25 -1.00 x 085 add 2.00",
            ),
            ReceiptPair(
                2,
                58,
                "Clear single vision, for reading in Harrow Row Lark, brick, 51-18-140",
                "-0.50 -1.25 x 090",
                "-0.25 -1.00 x 085",
            ),
        ),
        lines=lines,
        shipping=650,
        tax=152,
        total=total,
        payments=(
            ReceiptPayment("2026-02-27", "card", "4242", 30000),
            ReceiptPayment("2026-03-06", "check", "1187", total - 30000),
        ),
        paid=total,
        balance=0,
        shared_note="",
        ledger_head=_HEAD,
        code_release="CMS HCPCS Level II, October 2025",
        refunds=(ReceiptRefund("2026-03-13", "card", "4242", 900, "The cord came back unused."),),
        diagnoses=("H52.13", "H52.223"),
    )


def sample_packing() -> PackingSlip:
    """Give a slip for two wearers with goods beside the glasses."""
    return PackingSlip(
        order_number=311,
        day="2026-03-09",
        shop=_SHOP,
        customer=_CUSTOMER,
        ship_to=_HOME,
        carrier="post",
        tracking="9400 1000 0000 0000 0000 00",
        parcels=(
            PackedFor(
                _CUSTOMER,
                (
                    PackedItem("Even progressive in Harrow Row Finch, moss", 1, 57, ("Anti-reflective coating",)),
                    PackedItem("Clear single vision, for reading in Harrow Row Lark, brick", 1, 58),
                    PackedItem("Hard case", 2),
                ),
            ),
            PackedFor(_CHILD, (PackedItem("Impact-proof single vision in Harrow Row Wren, sand", 1, 59),)),
            PackedFor("", (PackedItem("Cleaning kit", 1),)),
        ),
    )


def sample_confirmation() -> OrderSummary:
    """Give an order of one pair with a part paid."""
    pair = (
        SummaryLine("Harrow Row Finch, moss, 50-19-140", 1, 16800, 0, 16800),
        SummaryLine("Even progressive", 1, 26000, 0, 26000),
        SummaryLine("Anti-reflective coating", 1, 12995, 2599, 10396),
    )
    other = (SummaryLine("Hard case", 2, 2400, 0, 2400), SummaryLine("Shipping", 1, 650, 0, 650))
    listed, reduced = 58845, 2599
    return OrderSummary(
        number=311,
        day="2026-02-27",
        valid_until="",
        shop=_SHOP,
        customer=_CUSTOMER,
        customer_lines=_HOME,
        ship_to=_HOME,
        groups=(
            SummaryGroup(1, "Even progressive in Harrow Row Finch, moss, 50-19-140", _CUSTOMER, pair),
            SummaryGroup(0, "", "", other),
        ),
        list_total=listed,
        reduction_total=reduced,
        net_total=listed - reduced,
        tax=174,
        total=listed - reduced + 174,
        paid=30000,
        balance=listed - reduced + 174 - 30000,
    )


def sample_quote() -> OrderSummary:
    """Give the same goods as a quote."""
    order = sample_confirmation()
    return replace(order, number=0, valid_until="2026-03-29", paid=0, balance=order.total)


def sample_year() -> YearStatement:
    """Give a year with two wearers and something given back."""
    first, second = YearSums(51000, 1200, 900, 802), YearSums(0, 0, -900, 0)
    child = YearSums(17900, 0, 0, 325)
    own = (
        YearRow(311, "2026-02-27", "frame, lenses, extra, accessory", first),
        YearRow(311, "2026-03-13", "frame, lenses, extra, accessory", second),
    )
    return YearStatement(
        year=2026,
        made_on="2027-01-05",
        shop=replace(_SHOP, ein="12-3456789", npi="1234567893"),
        customer=_CUSTOMER,
        customer_lines=_HOME,
        wearers=(
            YearWearer(_CUSTOMER, own, first.plus(second)),
            YearWearer(_CHILD, (YearRow(311, "2026-02-27", "frame, lenses", child),), child),
        ),
        sums=first.plus(second).plus(child),
        ledger_head=_HEAD,
    )
