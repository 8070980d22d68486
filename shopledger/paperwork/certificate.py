"""The inspection record: one strong verdict, the lenses as ordered and as read, each quantity with its rule."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from shopledger.ledger.inspections import Checked
from shopledger.ledger.papers.certificate import (
    DEMO_LENSES,
    NOT_MEASURED,
    ImpactLine,
    InspectionCertificate,
    JudgedRow,
    LensRow,
)
from shopledger.paperwork.blocks import (
    Align,
    Block,
    gap,
    heading,
    pairs_of_words,
    panel_of,
    strong_box,
    text_block,
    twin_panels,
)
from shopledger.paperwork.paper import Flowing, Paper
from shopledger.paperwork.samples import CUSTOMER, SHOP
from shopledger.paperwork.tables import TableHead, raised, table
from shopledger.paperwork.typeset import NOTE
from shopledger.paperwork.wording import Wording

_LABELS: Final = 66.0
_NAMES: Final = 88.0
_FEW: Final = 20
"""How many blocks, a line or a gap each, go on a new page together."""
_ADD_OR_PRISM: Final = re.compile(r" (?=add |prism )|(?<! B[IOUD])(?<!prism) (?=\d+\.\d+ B[IOUD])")
"""The blanks before an add, before the first prism, and after a comma between two."""
_PRISM: Final = re.compile(r" B[IOUD]\b")
_VERDICTS: Final = ("lens", "quantity", "ordered", "measured", "difference", "limit", "verdict")


def _facts(content: InspectionCertificate, words: Wording) -> tuple[str, str]:
    """Give what stands below the number: which inspection and its outcome, the day of issue, whose place it takes.

    What was issued before form 2 has the outcome further down alone, as it had then.
    """
    outcome = "titles.passed" if content.passed else "titles.not_passed"
    which = "titles.inspection" if content.form < 2 else outcome
    issued = "titles.issued" if content.replaces is None else "titles.replaces"
    return (
        words.fill(which, job=content.job_number, inspection=content.inspection_number),
        words.fill(issued, day=words.day(content.issued_on), number=content.replaces),
    )


def _job(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    glasses = {"wearer": content.wearer, "glasses": content.glasses, "order": str(content.order_number)}
    inspected = {
        "by": content.inspector,
        "day": words.day(content.day),
        "standard": words.fill("inspected.of", standard=content.standard, edition=content.edition),
        "design": content.design,
    }
    panels = panel_of(words, "job", glasses), panel_of(words, "inspected", inspected)
    return [twin_panels("job", *panels, width, _LABELS, words.look.strip)]


def _outcome(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    if content.passed:
        return strong_box("outcome", words["outcome.passed"], width)
    return strong_box(
        "outcome", words.fill("outcome.failed", failures=", ".join(content.failures)), width, inverse=True
    )


def _lenses(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    """Set what was ordered, what the sheet wants, and what was read; a column of what nobody has is left out."""
    keys = ["lens", "ordered", *(["compensated"] if content.sheet else []), "read", *_measured_too(content)]
    leaning: list[Align] = ["left" for _ in keys]
    head = TableHead(words.each("lenses", keys), tuple(leaning), grows=1, least=60)
    folds = bool(content.sheet) or any(_PRISM.search(lens.ordered + lens.read) for lens in content.lenses)
    cells = [[_lens_cells(lens, words, folds=folds)[key] for key in keys] for lens in content.lenses]
    blocks = [
        heading("lenses", words["lenses.heading"], width, space_before=6),
        *table("lenses", head, cells, width, words.look),
    ]
    ordered, read = content.places
    said = (
        words.fill("lenses.sheet", sheet=content.sheet) if content.sheet else "",
        words.fill("lenses.ordered_places", places=ordered) if ordered else "",
        words.fill("lenses.read_places", places=read) if read else "",
        words.fill("lenses.thinning", prism=content.thinning) if content.thinning else "",
    )
    for sentence in filter(None, said):
        blocks += text_block("places", sentence, width, NOTE)
    return blocks


def _measured_too(content: InspectionCertificate) -> Iterator[str]:
    """Name the columns of what was measured or seen beside the powers, on one lens at least.

    What was issued before form 2 has them all.
    """
    if content.form < 2:
        yield from ("thickness", "curve", "marks")
        return
    if any(lens.centre_thickness != NOT_MEASURED for lens in content.lenses):
        yield "thickness"
    if any(lens.base_curve != NOT_MEASURED for lens in content.lenses):
        yield "curve"
    if any(lens.marks_seen is not None for lens in content.lenses):
        yield "marks"


def _lens_cells(lens: LensRow, words: Wording, *, folds: bool) -> Mapping[str, str]:
    marks = {None: "lenses.none", True: "lenses.seen", False: "lenses.not_seen"}[lens.marks_seen]
    return {
        "lens": words.word("lenses", lens.lens),
        "ordered": _folded(lens.ordered) if folds else lens.ordered,
        "compensated": _folded(lens.compensated),
        "read": _folded(lens.read) if folds else lens.read,
        "thickness": lens.centre_thickness,
        "curve": lens.base_curve,
        "marks": words[marks],
    }


def _folded(power: str) -> str:
    """Set a power in lines, add and prism below it, so that three columns of them stand side by side."""
    return _ADD_OR_PRISM.sub("\n", power)


def _verdicts(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    """Set the verdicts; each row's small number leads to its rule below."""
    rules = list(dict.fromkeys(row.rule for row in content.rows))
    heads = words.each("verdicts", _VERDICTS)
    head = TableHead(heads, ("left", "left", "right", "right", "right", "right", "left"), grows=1, least=90)
    cells = [_verdict_cells(row, rules.index(row.rule) + 1, words) for row in content.rows]
    rows = table("verdicts", head, cells, width, words.look)
    rows[-1] = replace(rows[-1], with_next=False)
    listed = "; ".join(f"{raised(at)}\N{NO-BREAK SPACE}{rule}" for at, rule in enumerate(rules, start=1))
    title = words.fill("verdicts.rules", standard=content.standard, edition=content.edition)
    return [
        heading("verdicts", words["verdicts.heading"], width, space_before=6),
        *rows,
        *text_block("voluntary", words["verdicts.voluntary"], width, NOTE, space_before=5),
        *text_block("rules", f"{title} {listed}.", width, NOTE, space_before=0),
    ]


def _verdict_cells(row: JudgedRow, rule: int, words: Wording) -> tuple[str, ...]:
    quantity = f"{row.quantity}{raised(rule)}"
    if row.or_else:
        quantity = f"{quantity}\n{row.or_else}"
    verdict = words["verdicts.passed" if row.passed else "verdicts.failed"]
    lens = words.word("verdicts", row.lens)
    return lens, quantity, row.ordered, row.measured, row.difference, row.limit, verdict


def _checklist(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    said = [_checked(what, words, good=good) for what, good in content.checklist]
    return _named("checklist", words["checklist.heading"], " · ".join(said), width)


def _checked(what: str, words: Wording, *, good: bool) -> str:
    if what == DEMO_LENSES:
        return words["checklist.demo_out" if good else "checklist.demo_in"]
    return words.fill("checklist.good" if good else "checklist.not_good", what=words.word("checklist", what))


def _impact(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    said = [
        words.fill(f"impact.{proof.proof}", reference=proof.reference, day=words.day(proof.day))
        for proof in content.impact
    ]
    if said and content.kept_until:
        said.append(words.fill("impact.kept", day=words.day(content.kept_until)))
    return _named("impact", words["impact.heading"], "\n".join(said) or words["impact.none"], width)


def _named(name: str, label: str, text: str, width: float) -> list[Block]:
    """Set a short part beside its name, so that the paper stays on one page, or goes on with more than a note."""
    marks, height = pairs_of_words([(label, text)], 0, 0, width, _NAMES)
    return [gap(name, 4), Block(name, height, marks, with_next=True)]


def _notices(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    """Set what is said beside the figures; a few lines stay together, so that none makes a page by itself."""
    blocks: list[Block] = []
    for sentence in content.accepted:
        blocks += text_block("accepted", words.fill("notices.accepted", sentence=sentence), width)
    if content.note:
        blocks += text_block("note", words.fill("notices.note", note=content.note), width)
    for sentence in words.listed("notices.sentences"):
        blocks += text_block("notices", sentence, width, NOTE)
    if len(blocks) > _FEW:
        return blocks
    return [replace(block, with_next=block.with_next or at < len(blocks)) for at, block in enumerate(blocks, start=1)]


_SPHERE: Final = "sphere up to 8 D, progressive: within 0.16 D"
_CYLINDER: Final = "cylinder up to 2 D, progressive: within 0.16 D"
_AXIS: Final = "axis up to 1.5 D, any design: within 3 degrees"
_ADD: Final = "add up to 4 D, any design: within 0.125 D"


def _sample() -> InspectionCertificate:
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
            or_else="monocular PD off by 0.5 mm, 1 mm would do: yes",
        ),
    )  # fmt: skip
    return InspectionCertificate(
        number=12,
        issued_on="2026-03-09",
        inspection_number=41,
        job_number=57,
        order_number=311,
        day="2026-03-08",
        shop=SHOP,
        wearer=CUSTOMER,
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
        places=(
            "PD 31.5 + 31, heights from the lowest point of the lens 21 and 21 mm",
            "PD 31 + 31, heights from the lowest point of the lens 21.5 and 21 mm",
        ),
        sheet="even-57.pdf (SHA-256 9f3c5a7be2d41c60)",
        standard="ANSI Z80.1",
        edition="2015",
        design="progressive",
        rows=rows,
        checklist=tuple((each, True) for each in (*(each.value for each in Checked), DEMO_LENSES)),
        failures=("left axis",),
        inspector="Ilse",
        impact=(ImpactLine("certificate", "Brightwater C-2207", "2026-03-08"),),
        kept_until="",
        note="The left lens turned in the rim.",
        accepted=("the axis was read twice, and stays off.",),
    )  # fmt: skip


CERTIFICATE: Final = Paper(
    key="certificate",
    command="job inspection-record",
    file="inspection-record",
    sample=_sample,
    body=Flowing(
        {
            "job": _job,
            "outcome": _outcome,
            "lenses": _lenses,
            "verdicts": _verdicts,
            "checklist": _checklist,
            "impact": _impact,
            "notices": _notices,
        }
    ),
    shop=lambda certificate: certificate.shop,
    day=lambda certificate: certificate.issued_on or certificate.day,
    names=lambda certificate, _: {
        "number": certificate.number,
        "wearer": certificate.wearer,
        "inspection": certificate.inspection_number,
        "job": certificate.job_number,
    },
    subject="wearer",
    facts=_facts,
)
