"""What a plan or a health account is likely to make of a line: three states with the reason, never a promise.

Whether a plan pays is for the plan to say, and no paper tells it: states and reasons answer the shop's own questions.
Receipts up to form 3 printed them. Where no regulation is named, a reason is common practice without a source; what
shipping alone is paid back is a value from memory.
"""

from __future__ import annotations

from typing import Final

from shopledger.ledger.catalogue import Accessory, Reimbursement
from shopledger.ledger.offers import LineKind

EYEGLASSES_SOURCE: Final = "26 CFR 1.213-1(e)(1)(iii)"
"""Names eyeglasses among what counts as medical care, and the upkeep of such a thing with it."""

PRESCRIPTION_GLASSES: Final = f"Prescription glasses count as medical care ({EYEGLASSES_SOURCE})."
ON_PRESCRIPTION_LENSES: Final = "A treatment of prescription lenses is usually taken as part of the glasses."
NO_PRESCRIPTION: Final = (
    "Glasses without a prescription are not medical care as a rule; "
    "an exception for a diagnosed condition is for the plan to decide."
)
FRAME_ALONE: Final = "Plans differ on a frame that is sold without lenses."
PLANS_DIFFER: Final = (
    f"Upkeep of prescription glasses may count as medical care ({EYEGLASSES_SOURCE}), but plans differ on accessories."
)
SHOP_SAYS_ELIGIBLE: Final = "Listed by the shop as eligible; the plan decides in the end."
SHOP_SAYS_NOT: Final = "Listed by the shop as not eligible."
SHIPPING_WITH_GLASSES: Final = "Plans differ on the shipping of prescription glasses."
SHIPPING_ALONE: Final = "Shipping of goods without a prescription is usually not paid back."

_ACCESSORY_REASONS: Final = {
    Reimbursement.ELIGIBLE: SHOP_SAYS_ELIGIBLE,
    Reimbursement.NOT_ELIGIBLE: SHOP_SAYS_NOT,
    Reimbursement.PLAN_DECIDES: PLANS_DIFFER,
}


def status(kind: LineKind, *, prescription: bool, accessory: Accessory | None = None) -> tuple[Reimbursement, str]:
    """Give the state of a line and its reason; `prescription` says whether the glasses are made from one."""
    if kind is LineKind.ACCESSORY:
        state = accessory.reimbursement if accessory else Reimbursement.PLAN_DECIDES
        return state, _ACCESSORY_REASONS[state]
    if kind is LineKind.SHIPPING:
        return _shipping(prescription=prescription)
    if not prescription:
        return Reimbursement.NOT_ELIGIBLE, NO_PRESCRIPTION
    reason = ON_PRESCRIPTION_LENSES if kind is LineKind.EXTRA else PRESCRIPTION_GLASSES
    return Reimbursement.ELIGIBLE, reason


def _shipping(*, prescription: bool) -> tuple[Reimbursement, str]:
    if prescription:
        return Reimbursement.PLAN_DECIDES, SHIPPING_WITH_GLASSES
    return Reimbursement.NOT_ELIGIBLE, SHIPPING_ALONE
