"""The file for the lab: records that read back as what they say, with the trace where the lab cuts; or plain JSON."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.exchange.lens_order_file import lens_order_json, lens_order_records
from shopledger.exchange.records import label_of, open_records, records_of
from shopledger.exchange.trace_file import read_trace_file, write_trace_file
from shopledger.ledger.catalogue import Design
from shopledger.ledger.lens_orders import Edging
from shopledger.ledger.papers.lens_order import LensOrderContent
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from tests.ledger.papers.bench import job
from tests.ledger.papers.lab import sent
from tests.shelf import CUSTOMER, GRADUAL, LINED

PROGRESSIVE = sent(
    job("-2.50 -1.125 x 090 add 2 1 BU 1.5 BO", "+0.75 +0.50 x 170 add 2", lens=GRADUAL, use=LensUse.MULTIFOCAL),
    edging=Edging.EDGED,
    note="Turn; no = and ünd",
)


def fields(content: LensOrderContent) -> dict[str, tuple[str, ...]]:
    """Read an order's records back, each label with its fields."""
    return {record.label: record.fields for record in records_of(open_records(lens_order_records(content)))}


def test_both_eyes_stand_right_before_left_with_minus_cylinders() -> None:
    """+0.75 +0.50 x 170 is +1.25 -0.50 x 080; an eighth keeps its thousandths."""
    said = fields(PROGRESSIVE)
    assert (said["SPH"], said["CYL"], said["AX"]) == (("-2.50", "1.25"), ("-1.125", "-0.50"), ("90", "80"))
    assert (said["ADD"], said["IPD"], said["NPD"]) == (("2.00", "2.00"), ("31.50", "31.00"), ("30.00", "29.50"))
    assert (said["PRVIN"], said["PRVUP"]) == (("-1.50", ""), ("1.00", ""))
    assert (said["JOB"], said["DO"], said["CLIENT"]) == (("57",), ("B",), ("O.F.",))
    assert (said["LNAM"], said["LIND"]) == (("Even progressive",) * 2, ("1.498",) * 2)


def test_a_multifocal_has_its_height_apart_from_single_vision() -> None:
    """The one to the fitting point or segment, the other to the optical centre."""
    assert fields(PROGRESSIVE)["SEGHT"] == ("19.00", "19.00")
    assert "OCHT" not in fields(PROGRESSIVE)
    single = fields(sent(job()))
    assert single["OCHT"] == ("19.00", "19.00")
    assert "SEGHT" not in single


def test_a_segment_goes_with_its_inset_its_height_and_its_place_in_the_box() -> None:
    """35 less near 27.848 and 31.152 inward, 17 and 18 less 18 up; a progressive has none of these."""
    uneven = Measurements.from_monocular((29.5, 33), 59, 17, 18)
    lined = replace(LINED, intermediate_depth=7, design=Design.TRIFOCAL)
    said = fields(sent(job("-2 DS add 2", "-2 DS add 2", lens=lined, use=LensUse.MULTIFOCAL, measurements=uneven)))
    assert (said["IPD"], said["NPD"], said["SEGHT"]) == (("29.50", "33.00"), ("27.85", "31.15"), ("17.00", "18.00"))
    assert said["_SEGINSET"] == ("1.65", "1.85")
    assert (said["FCSGIN"], said["FCSGUP"]) == (("7.15", "3.85"), ("-1.00", "0.00"))
    assert (said["_SEGSHAPE"], said["_SEGWIDTH"], said["_SEGSTRIP"]) == (
        ("FLAT TOP",) * 2,
        ("28.00",) * 2,
        ("7.00",) * 2,
    )
    assert not {"FCSGIN", "_SEGINSET", "_THINPRISM"} & set(fields(PROGRESSIVE))
    thinned = replace(GRADUAL, thinning_prism=True)
    assert fields(sent(job("-2 DS add 2", "-2 DS add 2", lens=thinned, use=LensUse.MULTIFOCAL)))["_THINPRISM"] == (
        "YES",
        "YES",
    )


def test_the_trace_goes_with_lenses_that_are_cut_to_it() -> None:
    """And reads back as the shape it is, with the sizes it states."""
    read = read_trace_file(lens_order_records(PROGRESSIVE))
    assert (read.right.hundredths, read.left.hundredths) == (PROGRESSIVE.right.radii, PROGRESSIVE.left.radii)
    assert (read.dbl, read.stated.a, read.stated.b) == (18.0, (52.0, 52.0), (36.0, 36.0))


def test_nothing_of_one_order_goes_out_with_another_trace() -> None:
    """A lens order read as a trace gives the shape on, and no word of lens, wearer or shop."""
    read = read_trace_file(lens_order_records(replace(PROGRESSIVE, follows=3, base_curve=4.25, near=True, account="A")))
    shape = PROGRESSIVE.shape
    assert shape is not None
    assert read.other_records == ()
    written = write_trace_file(shape, read.stated, other_records=read.other_records)
    assert {label_of(line) for line in written.splitlines()} == {"TRCFMT", "R", "HBOX", "VBOX", "FED", "CIRC", "DBL"}


def test_uncut_lenses_go_without_a_trace_but_with_a_diameter() -> None:
    """So that nobody cuts them by mistake; the boxed sizes are said all the same."""
    said = fields(sent(job()))
    assert "TRCFMT" not in said
    assert "R" not in said
    assert (said["DIA"], said["HBOX"], said["DBL"]) == (("65.00", "65.00"), ("52.00", "52.00"), ("18.00",))
    assert said["_EDGING"] == ("UNCUT",)


def test_a_frame_that_was_not_traced_states_what_is_stamped_on_it() -> None:
    """Nothing is made up for the rest."""
    said = fields(sent(job(untraced=True)))
    assert (said["HBOX"], said["DBL"]) == (("52.00", "52.00"), ("18.00",))
    assert not {"VBOX", "FED", "CIRC", "DIA"} & set(said)


def test_one_lens_alone_leaves_the_other_s_fields_empty() -> None:
    """An empty field is one that is not given."""
    said = fields(sent(job(), lenses=(Side.LEFT,)))
    assert (said["DO"], said["SPH"], said["IPD"]) == (("L",), ("", "-2.25"), ("", "31.00"))
    assert said["HBOX"] == ("52.00", "52.00")


def test_a_reading_pair_says_that_its_pd_is_for_near() -> None:
    """It is the one to centre by."""
    said = fields(sent(job(use=LensUse.READING)))
    assert (said["IPD"], said["_PDFOR"]) == (("30.00", "29.50"), ("NEAR",))
    assert "NPD" not in said


def test_codes_that_could_not_be_checked_are_not_written() -> None:
    """What is made of what stands in words."""
    said = fields(PROGRESSIVE)
    assert not {"LMATTYPE", "FTYP", "ETYP", "LTYPE", "BEVP"} & set(said)
    assert (said["_MATERIAL"], said["_DESIGN"]) == (("hard resin",), ("PROGRESSIVE",))


@given(st.text(max_size=60), st.text(min_size=1, max_size=20))
def test_words_cannot_break_the_records(note: str, extra: str) -> None:
    """Whatever is typed, each line is one record in plain ASCII, ended by CR LF."""
    content = replace(sent(job()), note=" ".join(note.split()), extras=(" ".join(extra.split()),))
    text = lens_order_records(content)
    assert text.isascii()
    lines = text.split("\r\n")
    assert lines.pop() == ""
    assert all(line.partition("=")[0].strip("_").isalnum() for line in lines if line.isprintable())
    remarks = fields(content).get("_REMARKS", ("",))
    assert len(remarks) == 1


@pytest.mark.parametrize("write", [lens_order_records, lens_order_json])
def test_the_wearer_is_initials_alone(write: object) -> None:
    """In either form, even where the remarks hold the name."""
    assert callable(write)
    text = write(sent(job(), note=f"Call {CUSTOMER}"))
    assert "O.F." in text
    for part in CUSTOMER.split():
        assert part not in text


def test_the_plain_form_says_the_same() -> None:
    """Numbers as numbers, the shape with how it is to be read, and what is inside the shop left out."""
    said = json.loads(lens_order_json(replace(PROGRESSIVE, reason="our own slip")))
    assert (said["form"], said["job"], said["edging"]) == ("lens order 1", 57, "edged")
    assert (said["right"]["sphere"], said["right"]["prism_in"], said["left"]["axis"]) == (-2.5, -1.5, 80)
    assert said["trace"]["right"] == list(PROGRESSIVE.right.radii)
    assert said["remarks"] == "Turn; no = and ünd"
    assert "our own slip" not in json.dumps(said)
    assert json.loads(lens_order_json(sent(job(), lenses=(Side.RIGHT,))))["left"] is None
    assert json.loads(lens_order_json(sent(job())))["trace"] is None
