"""The inspection certificate: one strong verdict, the lenses as ordered and as read, each quantity with its rule."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.certificate import InspectionCertificate, JudgedRow, LensRow
from shopledger.paperwork.blocks import Align, Block, Panel, heading, strong_box, text_block, twin_panels
from shopledger.paperwork.flow import page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block, shop_head
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.tables import TableHead, raised, reason_blocks, table
from shopledger.paperwork.typeset import NOTE
from shopledger.paperwork.wording import Wording, read_wording

_LABELS: Final = 66.0
_Part: TypeAlias = Callable[[InspectionCertificate, Wording, float], list[Block]]
_VERDICTS: Final = ("lens", "quantity", "ordered", "measured", "difference", "limit", "verdict")


def certificate_pdf(
    content: InspectionCertificate,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the certificate to `target`, whole or not at all; give back where it lies."""
    return save(certificate_document(content, paper=paper, wording=wording, spellings=spellings), target)


def certificate_document(
    content: InspectionCertificate,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the certificate as placed boxes on pages, not yet painted; the options are those of `certificate_pdf`."""
    words = wording or read_wording("certificate")
    said = respelled(content, spellings)
    sheet = page_layout(paper)
    width = sheet.frame_width
    number = words.fill("titles.number", number=said.number)
    head = shop_head(said.shop, words, words["titles.paper"], number, _facts(said, words))
    blocks = [head_block(head, words.look, width)]
    for part in words.listed("order"):
        blocks += _PARTS[part](said, words, width)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop.name,
        subject=said.wearer,
        continued=words.fill("titles.continued", number=said.number, wearer=said.wearer),
        foot=words.fill("marks.foot", number=said.number, inspection=said.inspection_number, job=said.job_number),
    )
    return assembled(blocks, labels, words, sheet)


def _facts(content: InspectionCertificate, words: Wording) -> tuple[str, str]:
    """Give what stands below the number: which inspection, the day of issue, and whose place the paper takes."""
    issued = "titles.issued" if content.replaces is None else "titles.replaces"
    return (
        words.fill("titles.inspection", job=content.job_number, inspection=content.inspection_number),
        words.fill(issued, day=words.day(content.issued_on), number=content.replaces),
    )


def _job(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    glasses = (
        (words["job.wearer"], content.wearer),
        (words["job.glasses"], content.glasses),
        (words["job.order"], str(content.order_number)),
    )
    standard = words.fill("inspected.of", standard=content.standard, edition=content.edition)
    inspected = (
        (words["inspected.by"], content.inspector),
        (words["inspected.day"], words.day(content.day)),
        (words["inspected.standard"], standard),
        (words["inspected.design"], content.design),
    )
    panels = Panel(words["job.heading"], glasses), Panel(words["inspected.heading"], inspected)
    return [twin_panels("job", *panels, width, _LABELS, words.look.strip)]


def _outcome(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    if content.passed:
        return strong_box("outcome", words["outcome.passed"], width)
    return strong_box(
        "outcome", words.fill("outcome.failed", failures=", ".join(content.failures)), width, inverse=True
    )


def _lenses(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    """Set what was ordered, what the sheet wants, and what was read; the sheet's column only where there is one."""
    keys = ["lens", "ordered", *(["compensated"] if content.sheet else []), "read", "thickness", "curve", "marks"]
    leaning: list[Align] = ["left" for _ in keys]
    head = TableHead(tuple(words[f"lenses.{key}"] for key in keys), tuple(leaning), grows=1, least=60)
    cells = [[_lens_cells(lens, words)[key] for key in keys] for lens in content.lenses]
    blocks = [
        heading("lenses", words["lenses.heading"], width, space_before=10),
        *table("lenses", head, cells, width, words.look),
    ]
    ordered, read = content.places
    said = (
        words.fill("lenses.sheet", sheet=content.sheet) if content.sheet else "",
        words.fill("lenses.ordered_places", places=ordered) if ordered else "",
        words.fill("lenses.read_places", places=read) if read else "",
    )
    for sentence in filter(None, said):
        blocks += text_block("places", sentence, width, NOTE)
    return blocks


def _lens_cells(lens: LensRow, words: Wording) -> Mapping[str, str]:
    marks = {None: "lenses.none", True: "lenses.seen", False: "lenses.not_seen"}[lens.marks_seen]
    return {
        "lens": words.word("lenses", lens.lens),
        "ordered": lens.ordered,
        "compensated": lens.compensated,
        "read": lens.read,
        "thickness": lens.centre_thickness,
        "curve": lens.base_curve,
        "marks": words[marks],
    }


def _verdicts(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    """Set the verdicts; each row's small number leads to its rule below."""
    rules = list(dict.fromkeys(row.rule for row in content.rows))
    heads = tuple(words[f"verdicts.{key}"] for key in _VERDICTS)
    head = TableHead(heads, ("left", "left", "right", "right", "right", "right", "left"), grows=1, least=90)
    cells = [_verdict_cells(row, rules.index(row.rule) + 1, words) for row in content.rows]
    rows = table("verdicts", head, cells, width, words.look)
    rows[-1] = replace(rows[-1], with_next=False)
    title = words.fill("verdicts.rules", standard=content.standard, edition=content.edition)
    return [
        heading("verdicts", words["verdicts.heading"], width, space_before=10),
        *rows,
        *reason_blocks(words["verdicts.voluntary"], title, rules, width),
    ]


def _verdict_cells(row: JudgedRow, rule: int, words: Wording) -> tuple[str, ...]:
    quantity = f"{row.quantity}{raised(rule)}"
    if row.or_else:
        quantity = f"{quantity}\n{row.or_else}"
    verdict = words["verdicts.passed" if row.passed else "verdicts.failed"]
    lens = words.word("verdicts", row.lens)
    return lens, quantity, row.ordered, row.measured, row.difference, row.limit, verdict


def _checklist(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    said = [
        words.fill("checklist.good" if good else "checklist.not_good", what=words.word("checklist", what))
        for what, good in content.checklist
    ]
    blocks = [heading("checklist", words["checklist.heading"], width, space_before=10)]
    return [*blocks, *text_block("checklist", " · ".join(said), width)]


def _impact(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    blocks = [heading("impact", words["impact.heading"], width, space_before=10)]
    if not content.impact:
        return [*blocks, *text_block("impact", words["impact.none"], width)]
    for proof in content.impact:
        said = words.fill(f"impact.{proof.proof}", reference=proof.reference, day=words.day(proof.day))
        blocks += text_block("impact", said, width)
    if content.kept_until:
        blocks += text_block("impact", words.fill("impact.kept", day=words.day(content.kept_until)), width)
    return blocks


def _notices(content: InspectionCertificate, words: Wording, width: float) -> list[Block]:
    blocks: list[Block] = []
    for sentence in content.accepted:
        blocks += text_block("accepted", words.fill("notices.accepted", sentence=sentence), width)
    if content.note:
        blocks += text_block("note", words.fill("notices.note", note=content.note), width)
    for sentence in words.listed("notices.sentences"):
        blocks += text_block("notices", sentence, width, NOTE)
    return blocks


_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {
        "job": _job,
        "outcome": _outcome,
        "lenses": _lenses,
        "verdicts": _verdicts,
        "checklist": _checklist,
        "impact": _impact,
        "notices": _notices,
    }
)
