"""Which states a ZIP code can lie in, by its first three digits, and the question about one that lies in another.

The United States Postal Service gives the first three digits to sectional centres and publishes which state each serves
(Domestic Mail Manual, labeling list L002; value from memory, read in no edition). Some serve places across a border:
where that is known, both states have them. A range that is wrong costs a yes and refuses nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shopledger.errors import listed
from shopledger.optics.findings import Finding, Severity

if TYPE_CHECKING:
    from shopledger.ledger.parties import Address

ZIP_OTHER_STATE: Final = "ZIP-OTHER-STATE"
SOURCE: Final = "United States Postal Service, DMM labeling list L002; value from memory"

_RANGES: Final = """
AL 350-369, AK 995-999, AS 967, AZ 850-865, AR 716-729 755, CA 900-961, CO 800-816, CT 060-069, DE 197-199,
DC 200-205 569, FL 320-349, GA 300-319 398-399, GU 969, HI 967-968, ID 832-838, IL 600-629, IN 460-479, IA 500-528,
KS 660-679, KY 400-427, LA 700-714, ME 039-049, MD 206-219, MA 010-027 055, MI 480-499, MN 550-567, MS 386-397,
MO 630-658, MP 969, MT 590-599, NE 680-693, NV 889-898, NH 030-038, NJ 070-089, NM 870-884, NY 005 063 100-149,
NC 270-289, ND 580-588, OH 430-459, OK 730-749, OR 970-979, PA 150-196, PR 006-007 009, RI 028-029, SC 290-299,
SD 570-577, TN 370-385 422, TX 733 739 750-799 885, UT 840-847, VT 050-059, VA 201 220-246, VI 008, WA 980-994,
WV 247-268, WI 530-549, WY 820-831 834
"""


def states_of(postcode: str) -> tuple[str, ...]:
    """Give the states that a ZIP code can lie in; none where its first three digits are not in use."""
    sector = int(postcode[:3])
    return tuple(state for state, spans in _BY_STATE.items() if any(first <= sector <= last for first, last in spans))


def zip_findings(address: Address) -> tuple[Finding, ...]:
    """Warn of a ZIP code that lies in another state than the address says."""
    known = states_of(address.postcode)
    if address.state in known:
        return ()
    begins = address.postcode[:3]
    said = f"is of {listed(known)}" if known else "is of no state that is known"
    sentence = (
        f"The ZIP code {address.postcode} begins with {begins}, which {said}, and the address says {address.state}. "
        "Look at both."
    )
    allowed = listed(known)
    return (Finding(Severity.WARNING, ZIP_OTHER_STATE, "ZIP", address.postcode, allowed, SOURCE, sentence),)


def _spans(words: str) -> tuple[tuple[int, int], ...]:
    ends = (word.partition("-") for word in words.split())
    return tuple((int(first), int(last or first)) for first, _, last in ends)


_BY_STATE: Final = {
    state: _spans(spans) for state, _, spans in (each.strip().partition(" ") for each in _RANGES.split(","))
}
