"""Figures and names on every paper of the bench: as they were given, on the safe side, and never two made of one."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from shopledger.exchange.svg_file import LensMarks, write_svg
from shopledger.ledger.catalogue import Extra
from shopledger.ledger.orders import Pair
from shopledger.ledger.pair_words import lens_words, names_in_a_row
from shopledger.ledger.papers.job_sheet import Job, job_sheet
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.reorder import REORDER
from tests.ledger.papers.bench import elliptic, job
from tests.ledger.papers.lab import sent
from tests.paperwork.reading import text_of, texts_of
from tests.paperwork.samples import reorder_record
from tests.shelf import CLEAR, GRADUAL, LINED

HALVED = Measurements.from_binocular(62.5, 59.5, 17.25, 17.5)
"""31.25 and 29.75 for each eye (common practice, no source: a PD for both eyes is halved)."""


def papers(made: Job) -> tuple[Document, Document]:
    """Give a job's sheet and its lens order."""
    return document_of(JOB_SHEET, job_sheet(made)), document_of(LENS_ORDER, sent(made))


def values(document: Document) -> list[str]:
    """Give every text of a paper as it is placed."""
    return [mark.text for page in document.pages for mark in texts_of(page)]


def test_a_halved_pd_and_quarters_of_a_height_print_whole() -> None:
    """62.5 is 31.25 for each eye on sheet and order, 59.5 is 29.75 near, 17.25 stays 17.25 and 17.5 has one decimal."""
    for document in papers(job("-2 DS add 2", "-2 DS add 2", lens=LINED, use=LensUse.MULTIFOCAL, measurements=HALVED)):
        found = values(document)
        assert found.count("31.25") == 2
        assert found.count("29.75") == 2
        assert (found.count("17.25"), found.count("17.5")) == (1, 1)
        # The inset is the difference of what was measured: 31.25 less 29.75.
        assert text_of(document).count("inset 1.5") >= 2
        assert not {"31.2", "31.3", "29.7", "29.8", "17.2", "17.3"} & set(found)


def test_a_record_prints_measures_as_they_were_given() -> None:
    """In its table and at its drawing; what is worked out has tenths, a blank is rounded up and what is spare down."""
    record = reorder_record()
    right = replace(record.right, mono_pd=31.25, near_pd=29.75, fitting_height=20.25, blank_needed=62.61)
    shape = replace(record.right_shape, height=20.25, optical_centre=(26 + 9 - 31.25, 2.25))
    text = text_of(document_of(REORDER, replace(record, right=right, right_shape=shape)))
    for said in ("Mono PD 31.25 31.5", "Near PD 29.75 –", "Height from lowest point 20.25 20.0", "PD 31.25"):
        assert said in text
    assert "20.25 from lowest point" in text
    assert "Smallest blank, exact 62.7 62.7" in text
    # 65 less 62.61 is 2.39.
    assert "To spare 2.3 –" in text


def test_a_drawing_s_file_prints_measures_as_they_were_given() -> None:
    """Half of 62.5 stands 31.25 from the bridge; 20.25 above the lowest point is 2.25 above the middle of 36."""
    text = write_svg(elliptic(52, 36, 18), "any", LensMarks(35 - 31.25, 20.25 - 18, 62.5, 61.21))
    assert "PD 31.25 mm" in text
    assert "20.25 mm from the lowest point" in text
    assert "blank 62.5<" in text
    assert "least blank 61.3<" in text


def test_a_needed_blank_is_never_printed_smaller_than_it_is() -> None:
    """Rounded up on sheet and order alike, and what is spare is what is left of the blank that is there."""
    made = job()
    assert made.layout is not None
    for side in Side:
        needed = made.layout.eye(side).blank_needed
        eye, ordered = getattr(job_sheet(made), side.value), getattr(sent(made), side.value)
        assert needed <= eye.blank_needed < needed + 0.1
        assert ordered.blank_needed == eye.blank_needed
        assert eye.to_spare <= eye.blank - needed
        assert eye.to_spare + eye.blank_needed == pytest.approx(eye.blank)


@pytest.mark.parametrize("made", [job(), job("-2 DS add 2", "-2 DS add 2", lens=GRADUAL, use=LensUse.MULTIFOCAL)])
def test_a_height_is_never_named_without_where_it_is_taken_from(made: Job) -> None:
    """Each label that names a height, and each least height, says that it is from the lowest point."""
    for document in papers(made):
        text = text_of(document)
        assert "Height from lowest point" in text
        assert not re.search(r"[Hh]eight(?! from lowest point)", text)
    record = text_of(document_of(REORDER, reorder_record()))
    assert "Fitting height" not in record
    assert not re.search(r"\bheight \d|[Hh]eight from (?!lowest)", record)


def extra(code: str, name: str) -> Extra:
    """Give an upgrade of that name."""
    return replace(CLEAR, code=code, name=name)


NAMES = ("Coating, hard", "Tint, grey 20 %", "Blue + dust guard")
ROW = "Coating, hard + Tint, grey 20 % + “Blue + dust guard”"


def test_names_in_a_row_can_be_told_apart() -> None:
    """A comma belongs to its name; a name with the sign itself stands in quotation marks."""
    assert names_in_a_row(NAMES) == ROW
    assert names_in_a_row(["Coating, hard"]) == "Coating, hard"
    assert names_in_a_row([]) == ""


def test_upgrades_are_told_apart_on_every_paper() -> None:
    """On sheet, order and record."""
    extras = tuple(extra(f"X{at}", name) for at, name in enumerate(NAMES))
    made = replace(job(), extras=extras)
    record = reorder_record(extras=NAMES)
    for document in (*papers(made), document_of(REORDER, record)):
        assert ROW in text_of(document)


def test_an_upgrade_on_one_lens_alone_stands_behind_that_lens() -> None:
    """Lens and material first, then what goes with it; the lab is told on which lens it is."""
    whole = job(lens=replace(GRADUAL, name="Clear, thin"))
    made = replace(whole, own_extras={Side.RIGHT: (extra("X1", "Coating, hard"),), Side.LEFT: ()})
    sheet = job_sheet(made)
    assert sheet.right.own == f"Clear, thin · {GRADUAL.material} + Coating, hard"
    assert sheet.left.own == f"Clear, thin · {GRADUAL.material}"
    assert "Coating, hard (right lens only)" in sent(made).extras


def test_two_kinds_of_lenses_are_told_apart() -> None:
    """Each behind its eye, whatever commas their names hold."""
    pair: Pair = replace(job().pair, right=replace(job().pair.right, lens_code="A"), lens_code="B")
    assert lens_words(pair, {"A": "Clear, thin", "B": "Clear, plain"}) == "right: Clear, thin + left: Clear, plain"
