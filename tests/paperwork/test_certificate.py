"""The inspection record on paper."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.ledger.papers.certificate import DEMO_LENSES, ImpactLine, InspectionCertificate
from shopledger.paperwork.certificate import CERTIFICATE
from shopledger.paperwork.paper import document_of
from tests.paperwork.reading import crossing_blocks, crossing_texts, outside, printed, text_of

LONG = "Wilhelmina Aurelia Fotheringham-Castlewaite von Oberndorff-Hollingsworth the Younger"


def passed() -> InspectionCertificate:
    """Give the record of lenses that are not free-form, and passed."""
    content = CERTIFICATE.sample()
    rows = tuple(replace(row, passed=True) for row in content.rows)
    lenses = tuple(replace(lens, compensated="", marks_seen=None) for lens in content.lenses)
    return replace(content, failures=(), sheet="", rows=rows, lenses=(lenses[0], lenses[1]), impact=(), note="")


@pytest.mark.parametrize(
    "words",
    [
        "Inspection record No. 12 Job 57, inspection 41: NOT PASSED Issued Mar 9, 2026", "Day Mar 8, 2026",
        "Wearer Ilse Marrowdene",
        "Recorded by Ilse",
        "after published summaries of ANSI Z80.1, edition 2015, a voluntary guideline that was not read itself",
        "Tolerances summaries of ANSI Z80.1, 2015", "Judged as progressive",
        "NOT PASSED: left axis", "demo lenses out",
        "left axis³ 83° 88° 5° 3° OUTSIDE", "right sphere¹ -2.43 D -2.50 D -0.07 D 0.16 D within",
        "³ axis up to 1.5 D, any design: within 3 degrees", "To be read",
        "Judged by the compensated powers of the maker's sheet even-57.pdf (SHA-256 9f3c5a7be2d41c60).",
        "Ordered: PD 31.5 + 31, heights from the lowest point of the lens 21 and 21 mm.",
        "monocular PD off by 0.5 mm, 1 mm would do: yes", "bench alignment good", "lens seating good",
        "Accepted when it was recorded: the axis was read twice, and stays off.",
        "Supplier's certificate Brightwater C-2207, which came in on Mar 8, 2026 (21 CFR 801.410).",
        "Note: The left lens turned in the rim.",
    ],
)  # fmt: skip
def test_the_record_says_what_was_judged_and_by_which_rule(words: str) -> None:
    """Who, when, what was ordered and read, each verdict with rule and limit, in words that need no colour."""
    assert words in text_of(document_of(CERTIFICATE, CERTIFICATE.sample()))


def test_a_passed_record_says_so_and_leaves_out_what_there_is_not() -> None:
    """No column of a maker's sheet, no failure, and no proof that was never recorded."""
    text = text_of(document_of(CERTIFICATE, passed()))
    assert "inspection 41: PASSED Issued" in text
    assert "PASSED: all that was judged is within the tolerances listed" in text
    assert "No supplier's certificate and no exception is on record" in text
    for absent in ("OUTSIDE", "To be read", "NOT", "Note:", "to be kept"):
        assert absent not in text


def test_equal_thinning_prism_is_told() -> None:
    """Where there is any, and not on what was issued before it could be."""
    told = text_of(document_of(CERTIFICATE, replace(passed(), thinning="1.25 BD")))
    assert "Equal thinning prism of 1.25 BD before both eyes was counted as ordered" in told
    assert "hinning" not in text_of(document_of(CERTIFICATE, passed()))


def test_an_exception_and_the_time_of_keeping_are_told() -> None:
    """Once the job has left, the last day of keeping is known."""
    proof = ImpactLine("exception", "letter of 2026-02-20", "2026-03-08")
    text = text_of(document_of(CERTIFICATE, replace(passed(), impact=(proof,), kept_until="2029-03-09")))
    assert "Excepted by the prescriber in writing: letter of 2026-02-20" in text
    assert "counted from shipping, until Mar 9, 2029" in text


def test_a_record_that_takes_the_place_of_another_says_so() -> None:
    """Only one of the two holds."""
    content = CERTIFICATE.sample()
    assert "Issued Mar 9, 2026 in place of No. 7" in text_of(document_of(CERTIFICATE, replace(content, replaces=7)))
    assert "in place" not in text_of(document_of(CERTIFICATE, content))


def test_a_frame_that_is_not_right_and_missing_marks_are_told() -> None:
    """They stand in capitals where the rest is in small letters."""
    content = CERTIFICATE.sample()
    lenses = (replace(content.lenses[0], marks_seen=False), content.lenses[1])
    checklist = (("bench alignment", False), *content.checklist[1:])
    text = text_of(document_of(CERTIFICATE, replace(content, lenses=lenses, checklist=checklist)))
    assert "bench alignment NOT GOOD" in text
    assert "NOT SEEN" in text


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize(
    "content", [CERTIFICATE.sample(), replace(passed(), wearer=LONG), replace(CERTIFICATE.sample(), glasses=LONG * 2)]
)
def test_nothing_runs_into_another_or_off_the_paper(content: InspectionCertificate, paper: str) -> None:
    """Long names wrap; the margins stay free."""
    document = document_of(CERTIFICATE, content, size=paper)
    for page in document.pages:
        assert crossing_texts(page) == []
        assert crossing_blocks(page) == []
    assert outside(document, 36) == []


def test_printing_again_gives_the_same_bytes(tmp_path: Path) -> None:
    """The same content is the same file."""
    one, other = (printed(CERTIFICATE, CERTIFICATE.sample(), tmp_path / f"{name}.pdf") for name in "ab")
    assert one.read_bytes() == other.read_bytes()


def test_what_was_issued_in_the_first_form_keeps_its_head() -> None:
    """The outcome then stood in its box alone, and columns of what nobody measured had a head."""
    bare = tuple(replace(lens, centre_thickness="–", base_curve="–", marks_seen=None) for lens in passed().lenses)
    content = replace(passed(), lenses=(bare[0], bare[1]))
    text = text_of(document_of(CERTIFICATE, replace(content, form=1)))
    assert "Job 57, inspection 41 Issued Mar 9, 2026" in text
    assert "Centre Base curve Marks" in text
    assert "Centre" not in text_of(document_of(CERTIFICATE, content))


def test_it_claims_no_conformity() -> None:
    """It is a record: nothing on it certifies, but for the supplier's own certificate, and the standard is not met."""
    for content in (CERTIFICATE.sample(), passed()):
        text = text_of(document_of(CERTIFICATE, content)).replace("upplier's certificate", "")
        for claim in ("ertif", "onform", "complies", "ompliant", "meets", "guarantee"):
            assert claim not in text


@pytest.mark.parametrize("prism", [" 2.00 BI 1.50 BD", " prism 2.00 BI, 1.50 BD"])
def test_a_free_form_lens_with_prism_and_add_fits(prism: str) -> None:
    """Three powers of all parts stand side by side: sphere, cylinder and axis, then the add, then the prism."""
    content = CERTIFICATE.sample()
    lenses = tuple(
        replace(lens, ordered=f"-1{lens.ordered[1:]}{prism}", compensated=f"{lens.compensated}{prism}",
                read=f"{lens.read}{prism}", marks_seen=False)
        for lens in content.lenses
    )  # fmt: skip
    document = document_of(CERTIFICATE, replace(content, lenses=(lenses[0], lenses[1])))
    assert f"x 093 add 2.00{prism}" in text_of(document)
    assert [crossing_texts(page) for page in document.pages] == [[] for _ in document.pages]


def test_the_usual_record_is_one_page_and_a_note_alone_makes_none() -> None:
    """Where there is more to say, the next page begins with more than a note."""
    assert len(document_of(CERTIFICATE, CERTIFICATE.sample()).pages) == 1
    accepted = tuple(f"question {number} was asked and answered." for number in range(4))
    first, second = document_of(CERTIFICATE, replace(CERTIFICATE.sample(), accepted=accepted)).pages
    names = [placed.block.name for placed in second]
    assert "checklist" in names
    assert "checklist" not in [placed.block.name for placed in first]


def test_a_lens_still_in_the_frame_is_told_in_capitals() -> None:
    """Demonstration lenses are not to reach the wearer (21 CFR 801.410)."""
    content = CERTIFICATE.sample()
    checklist = (*content.checklist[:-1], (DEMO_LENSES, False))
    assert "DEMO LENSES STILL IN THE FRAME" in text_of(document_of(CERTIFICATE, replace(content, checklist=checklist)))
    bare = replace(content, checklist=content.checklist[:-1])
    assert "demo" not in text_of(document_of(CERTIFICATE, bare)).lower()
