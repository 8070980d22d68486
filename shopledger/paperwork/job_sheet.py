"""The job sheet: one page for the bench in large type; number as bars, both eyes, boxes to tick and to sign."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.errors import RefusedError
from shopledger.ledger.papers.job_sheet import Cutting, JobSheet
from shopledger.optics.materials import MaterialClass
from shopledger.paperwork.blocks import Block
from shopledger.paperwork.flow import PageLayout, page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.job_bench import bench_blocks, cautions_blocks, initials_blocks
from shopledger.paperwork.job_eyes import eyes_blocks
from shopledger.paperwork.job_head import goods_blocks, job_head, stops_blocks
from shopledger.paperwork.job_shapes import left_out_blocks, shapes_blocks, shapes_fit
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import MM
from shopledger.paperwork.wording import Wording, read_wording

_Part: TypeAlias = Callable[[JobSheet, Wording, float, float], list[Block]]
_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {
        "goods": goods_blocks,
        "eyes": eyes_blocks,
        "bench": bench_blocks,
        "shapes": shapes_blocks,
        "cautions": cautions_blocks,
        "initials": initials_blocks,
    }
)
_SIZES: Final = (
    *((scale, True) for scale in (1.2, 1.15, 1.1, 1.05, 1.0, 0.95, 0.9, 0.85)),
    *((scale, False) for scale in (1.0, 0.9, 0.8, 0.65)),
)
"""How large the type is and whether the shapes are drawn: what is tried in turn until the sheet is one page."""


def job_pdf(
    content: JobSheet,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the sheet to `target`, whole or not at all; give back where it lies."""
    return save(job_document(content, paper=paper, wording=wording, spellings=spellings), target)


def job_document(
    content: JobSheet,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the sheet as placed boxes on its one page, not yet painted; the options are those of `job_pdf`."""
    words = wording or read_wording("job")
    said = respelled(content, spellings)
    sheet = page_layout(paper)
    number = words.fill("marks.foot", number=said.job_number)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop_name,
        subject=number,
        continued=words.fill("titles.continued", number=said.job_number),
        foot=number,
    )
    return assembled(_one_page(said, words, sheet), labels, words, sheet)


def shop_cutting(words: Wording) -> dict[MaterialClass, Cutting]:
    """Give how the shop cuts materials in its own way, from the sheet's wording; other words are refused."""
    return dict(_own_cutting(words))


def _own_cutting(words: Wording) -> Iterator[tuple[MaterialClass, Cutting]]:
    ways: dict[str, Cutting] = {"dry": "dry", "wet": "wet"}
    for material in MaterialClass:
        given = words[f"cutting.{material.value}"].strip().casefold()
        if given and given not in ways:
            raise RefusedError(
                f"cutting of {material.value}",
                f"'{given}'",
                "it is dry, wet, or empty for what is usual",
                "Change it in your own papers/job.toml.",
            )
        if given:
            yield material, ways[given]


def _one_page(content: JobSheet, words: Wording, sheet: PageLayout) -> list[Block]:
    """Give the blocks in the largest type with which they fill one page at most, without the shapes if need be."""
    room = sheet.frame_bottom - sheet.top
    for scale, drawn in _SIZES:
        if drawn and not shapes_fit(content, sheet.frame_width):
            continue
        blocks = _blocks(content, words, sheet.frame_width, scale, drawn=drawn)
        needed = sum(block.height for block in blocks)
        if needed <= room:
            return blocks
    raise DoesNotFitError(
        f"the sheet of job {content.job_number}",
        f"{needed / MM:.0f} mm",
        f"{room / MM:.0f} mm on its one page",
        "Shorten the note or the names of lens, frame or extras.",
    )


def _blocks(content: JobSheet, words: Wording, width: float, scale: float, *, drawn: bool) -> list[Block]:
    blocks = [job_head(content, words, width, scale), *stops_blocks(content, words, width, scale)]
    for part in words.listed("order"):
        place = left_out_blocks if part == "shapes" and not drawn else _PARTS[part]
        blocks += place(content, words, width, scale)
    return blocks
