"""Invented content of an inspection certificate, for looking at a changed wording before a customer does."""

from __future__ import annotations

from shopledger.ledger.papers.certificate import ImpactLine, InspectionCertificate, JudgedRow, LensRow
from shopledger.ledger.papers.shop_lines import ShopLines

_SPHERE = "sphere up to 8 D, progressive: within 0.16 D"
_CYLINDER = "cylinder up to 2 D, progressive: within 0.16 D"
_AXIS = "axis up to 1.5 D, any design: within 3 degrees"
_ADD = "add up to 4 D, any design: within 0.125 D"


def sample_certificate() -> InspectionCertificate:
    """Give a free-form progressive of which one axis is off, with the maker's sheet and a supplier's certificate."""
    rows = (
        JudgedRow("right", "sphere", "-2.43 D", "-2.50 D", "-0.07 D", "0.16 D", passed=True, rule=_SPHERE),
        JudgedRow("right", "cylinder", "-1.18 D", "-1.25 D", "-0.07 D", "0.16 D", passed=True, rule=_CYLINDER),
        JudgedRow("right", "axis", "92°", "93°", "1°", "3°", passed=True, rule=_AXIS),
        JudgedRow("right", "add", "+1.93 D", "+2.00 D", "+0.07 D", "0.125 D", passed=True, rule=_ADD),
        JudgedRow("left", "sphere", "-2.19 D", "-2.25 D", "-0.06 D", "0.16 D", passed=True, rule=_SPHERE),
        JudgedRow("left", "cylinder", "-0.94 D", "-1.00 D", "-0.06 D", "0.16 D", passed=True, rule=_CYLINDER),
        JudgedRow("left", "axis", "83°", "88°", "5°", "3°", passed=False, rule=_AXIS),
        JudgedRow("left", "add", "+1.93 D", "+2.00 D", "+0.07 D", "0.125 D", passed=True, rule=_ADD),
        JudgedRow(
            "pair", "horizontal imbalance", "0.00 Δ", "0.12 Δ", "0.12 Δ", "0.67 Δ",
            passed=True,
            rule="horizontal imbalance, progressive: within 0.67 prism dioptres, or monocular PD: within 1 mm",
            or_else="monocular PD off by 0.5 mm, within 1 mm would do: yes",
        ),
    )  # fmt: skip
    return InspectionCertificate(
        number=12,
        issued_on="2026-03-09",
        inspection_number=41,
        job_number=57,
        order_number=311,
        day="2026-03-08",
        shop=ShopLines(
            "Sample Row Optical", ("5 Sample Row", "Fennick, OH 43001"), "555-0123", "desk@sample.example.com"
        ),
        wearer="Ilse Marrowdene",
        glasses="Even progressive in Harrow Row Finch, moss, 50-19-140",
        lenses=(
            LensRow(
                "right", "-2.50 -1.25 x 090 add 2.00", "-2.43 -1.18 x 092 add 1.93", "-2.50 -1.25 x 093 add 2.00",
                "1.62 mm", "4.25 D", marks_seen=True,
            ),
            LensRow(
                "left", "-2.25 -1.00 x 085 add 2.00", "-2.19 -0.94 x 083 add 1.93", "-2.25 -1.00 x 088 add 2.00",
                "1.70 mm", "4.25 D", marks_seen=True,
            ),
        ),
        places=("PD 31.5 + 31, heights 21 and 21 mm", "PD 31 + 31, heights 21.5 and 21 mm"),
        sheet="even-57.pdf (SHA-256 9f3c5a7be2d41c60)",
        standard="ANSI Z80.1",
        edition="2015",
        design="progressive",
        rows=rows,
        checklist=(("bench alignment", True), ("temples", True), ("hinges", True), ("lens seating", True)),
        failures=("left axis",),
        inspector="Ilse",
        impact=(ImpactLine("certificate", "Brightwater C-2207", "2026-03-08"),),
        kept_until="",
        note="The left lens turned in the rim.",
        accepted=("the axis was read twice, and stays off.",),
    )  # fmt: skip
