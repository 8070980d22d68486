"""Invented papers for the tests: a receipt, a long one, one not paid, and a reorder record."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from shopledger.ledger.papers.reorder_record import (
    CutShape,
    EyeFigures,
    EyeShape,
    LensOption,
    LensProfile,
    LensThickness,
    Point,
    PowerChange,
    PriceLine,
    RecordFinding,
    RecordPrice,
    ReorderRecord,
)
from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, ReceiptPair, ReceiptPayment, ReceiptRefund

FRAME = ReceiptLine(
    description="Frame Wren 52-18-140, matt black",
    code="V2020",
    modifier="",
    units=1,
    list_price=14900,
    reduction=0,
    charge=14900,
    reimbursement="eligible",
    reason="Frame fitted with prescription lenses",
    pair=1,
)
LENS = replace(
    FRAME,
    description="Single vision lens, hard resin 1.50, right",
    code="V2103",
    modifier="RT",
    list_price=3000,
    reduction=3000,
    charge=0,
    reason="Corrective lens made to a prescription",
)
KIT = ReceiptLine("Cleaning kit", "", "", 1, 1200, 0, 1200, "plan decides", "Upkeep; some plans refuse it", None)
CORD = ReceiptLine("Neck cord", "", "", 1, 900, 0, 900, "not eligible", "General goods", None)

LINES = (
    FRAME,
    LENS,
    replace(LENS, description="Single vision lens, hard resin 1.50, left", modifier="LT"),
    replace(FRAME, description="Coating, right", code="V2750", modifier="RT", list_price=6498, charge=6498),
    replace(FRAME, description="Coating, left", code="V2750", modifier="LT", list_price=6497, charge=6497),
    KIT,
    CORD,
)
PAIR = ReceiptPair(1, 57, "Single vision 1.50 for distance in Wren 52-18-140", "-2.50 -1.25 x 090", "-2.25 -0.75 x 085")


def receipt(**changes: Any) -> ReceiptContent:  # noqa: ANN401 - fields of many kinds
    """Give a receipt paid in full; where lines change, its total and payment follow unless they are given too."""
    lines = changes.get("lines", LINES)
    shipping, tax = changes.get("shipping", 950), changes.get("tax", 158)
    total = sum(line.charge for line in lines) + shipping + tax
    body: dict[str, Any] = {
        "number": 1042,
        "issued_on": "2026-03-14",
        "shop_name": "Quiet Harbour Optical",
        "shop_lines": ("12 Example Row", "Dayton, OH 45402"),
        "shop_phone": "(937) 555-0134",
        "shop_email": "desk@quietharbour.example.com",
        "ein": "12-3456789",
        "npi": "1234567893",
        "wording": "Questions about this receipt: call on weekdays.",
        "wearer": "Robin Sample",
        "wearer_birth_date": "1961-07-04",
        "customer": "Casey Sample",
        "customer_lines": ("98 Cedar Lane", "Springfield, OH 45501"),
        "relationship": "child",
        "member_id": "ZX-0091823",
        "order_number": 311,
        "order_day": "2026-02-27",
        "dispensed_on": "2026-03-13",
        "prescriber": "Dr. Alex Example",
        "prescriber_npi": "1000000004",
        "prescription_day": "2026-01-15",
        "pairs": (PAIR,),
        "lines": lines,
        "shipping": shipping,
        "tax": tax,
        "total": total,
        "payments": (ReceiptPayment("2026-02-27", "card", "ending 4242", total),),
        "paid": total,
        "balance": 0,
        "shared_note": "",
        "ledger_head": "1234-0123456789abcdef",
        "code_release": "HCPCS Level II, release of January 2026",
    }
    return ReceiptContent(**(body | changes))


def unpaid_receipt(owed: int = 4120, **changes: Any) -> ReceiptContent:  # noqa: ANN401 - as above
    """Give a receipt on which so much is still owed."""
    whole = receipt(**changes)
    paid = whole.total - owed
    return replace(
        whole, payments=(ReceiptPayment("2026-02-27", "card", "ending 4242", paid),), paid=paid, balance=owed
    )


def with_back(content: ReceiptContent, *refunds: ReceiptRefund) -> ReceiptContent:
    """Give a receipt on which so much was given back: of its lines one after another, then of shipping and tax."""
    left = sum(refund.amount for refund in refunds)
    lines = []
    for line in content.lines:
        back = min(left, line.charge)
        left -= back
        lines.append(replace(line, given_back=back))
    shipping = min(left, content.shipping)
    return replace(content, refunds=refunds, lines=tuple(lines), shipping_back=shipping, tax_back=left - shipping)


def long_receipt(count: int) -> ReceiptContent:
    """Give a receipt with so many lines, ten to a pair, each with its number in words that wrap."""
    lines = tuple(
        replace(
            LINES[at % 5], description=f"Charge {at + 1} with a description that takes two lines", pair=1 + at // 10
        )
        for at in range(count)
    )
    pairs = tuple(replace(PAIR, position=at + 1, job_number=57 + at) for at in range(math.ceil(count / 10)))
    return receipt(lines=lines, pairs=pairs)


def outline(a: float = 52.0, b: float = 36.0, *, mirrored: bool = False, count: int = 400) -> tuple[Point, ...]:
    """Give a frame-like oval, flatter above than below, as points around its boxed centre in mm."""
    points = []
    for at in range(count):
        angle = 2 * math.pi * at / count
        x, y = a / 2 * math.cos(angle), b / 2 * math.sin(angle)
        points.append((round(-x if mirrored else x, 2), round(y * (0.9 if y > 0 else 1.0) + 0.05 * b * (y > 0), 2)))
    return tuple(points)


def profile(a: float = 52.0, b: float = 36.0, edge: float = 4.6) -> LensProfile:
    """Give a minus lens of 1.5 mm at its centre, thicker toward every edge as the square of the way there."""
    level, upright = (_bowl(length, edge) for length in (a, b))
    return LensProfile(level, upright, tuple(edge - 2 * math.sin(math.pi * at / 36) ** 2 for at in range(72)), 1.5)


def _bowl(length: float, edge: float) -> CutShape:
    along = tuple(length * (at / 40 - 0.5) for at in range(41))
    deep = [(2 * place / length) ** 2 for place in along]
    return CutShape(along, tuple(2 * part for part in deep), tuple(1.5 + (edge + 0.5) * part for part in deep))


def reorder_record(
    a: float = 52.0,
    b: float = 36.0,
    dbl: float = 18.0,
    blank: float = 65.0,
    **changes: Any,  # noqa: ANN401 - as above
) -> ReorderRecord:
    """Give a reorder record for a frame of the given size in mm."""
    right = EyeFigures(a, b, 54.3, 141.2, 31.5, None, 20.0, 3.5, 2.0, 62.7, 63.3, blank)
    thickness = LensThickness(1.5, 1.9, 92, 4.6, 183, 8.1)
    body: dict[str, Any] = {
        "number": "17",
        "day": "2029-03-14",
        "shop": ShopLines("Quiet Harbour Optical", ("12 Example Row", "Dayton, OH 45402"), "(937) 555-0134", ""),
        "customer": "Casey Sample",
        "customer_lines": ("98 Cedar Lane", "Springfield, OH 45501"),
        "wearer": "Robin Sample",
        "earlier_pair": "job 57, order 311",
        "prescriber": "Dr. Alex Example",
        "frame": "Wren, matt black, 52-18-140",
        "trace_origin": "wren-52.txt of Feb 20, 2026",
        "right_shape": EyeShape(outline(a, b), (3.5, 2.0), blank, blank - 2.3, b / 2 + 2),
        "left_shape": EyeShape(outline(a, b, mirrored=True), (-3.25, 1.5), blank, blank - 2.0, b / 2 + 1.5),
        "dbl": dbl,
        "right": right,
        "left": replace(right, decentration_in=-0.4, offset_up=-1.2, blank=None),
        "before_day": "2026-01-15",
        "now_day": "2029-02-20",
        "right_powers": (
            PowerChange("sphere", "-2.50", "-3.25", "-0.75", notable=True),
            PowerChange("axis", "090", "095", "5°"),
        ),
        "left_powers": (PowerChange("sphere", "-2.25", "-2.50", "-0.25"),),
        "lens": "Single vision, urethane 1.60",
        "use": "distance",
        "right_made": "-3.25 -1.25 x 095",
        "left_made": "-2.50 -0.75 x 085",
        "extras": ("anti-reflective coating",),
        "base_curve": 4.0,
        "options": (
            LensOption(
                "Single vision, urethane 1.60", thickness, replace(thickness, thickest=4.4), chosen=True, price=15000
            ),
            LensOption(
                "Single vision, hard resin 1.50", replace(thickness, thickest=6.2), replace(thickness, weight=9.7)
            ),
            LensOption("Single vision, 1.74", None, None, refusal="the blank is too thin"),
        ),
        "findings": (
            RecordFinding("warning", "The right sphere changed by -0.75 D."),
            RecordFinding("note", "The prescription runs out in 26 days."),
        ),
        "right_change": "sphere 0.75 D toward minus",
        "left_change": "as before",
        "right_profile": profile(a, b, 4.6),
        "left_profile": profile(a, b, 4.4),
        "price": RecordPrice(
            (PriceLine("Slim lenses", 15000, 3000, 12000), PriceLine("Shipping", 650, 0, 650)), 120, 12770
        ),
    }
    return ReorderRecord(**(body | changes))
