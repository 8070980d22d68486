"""Prescriptions on pages: typed part by part, read back, asked about, recorded once; what comes later is added."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.counter.forms.onward import next_page
from shopledger.desk.context import Desk
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.known_people import customer_card, prescribers
from shopledger.desk.prescribing import prescription_card
from shopledger.optics.notation import write_eye
from tests.counter.visitor import Visitor

PAGE = "/customers/1/wearers/1/prescriptions/new"
LIKE_BEFORE = {
    "right_sphere": "-2.50",
    "right_cylinder": "-1.25",
    "right_axis": "90",
    "left_sphere": "-2.25",
    "left_cylinder": "-1.00",
    "left_axis": "85",
    "right_add": "2.00",
    "left_add": "2.00",
    "written": "2026-03-02",
}


def _newest(desk: Desk) -> str:
    written = customer_card(desk, "1").wearers[0][1]
    assert written is not None
    return write_eye(written.powers.right)


def test_a_prescription_is_recorded_and_read_back(visitor: Visitor, desk: Desk) -> None:
    """The page after it says what was read of each eye; who wrote the last one stands in the form at first."""
    visitor.go(PAGE)
    assert visitor.form(has="right_sphere").values["prescriber"] == [prescribers(desk)[0].name]
    visitor.send({**LIKE_BEFORE, "right_prism": "1 BU"})
    assert visitor.code == 200, visitor.words
    assert "Read: right -2.50 -1.25 x 090 add 2.00 prism 1.00 BU, left -2.25 -1.00 x 085 add 2.00." in visitor.words
    assert _newest(desk) == "-2.50 -1.25 x 090 add 2.00 prism 1.00 BU"


def test_a_whole_line_may_stand_in_the_sphere(visitor: Visitor, desk: Desk) -> None:
    """Whoever copies a line from a letter need not take it apart."""
    typed = {"right_sphere": "-2.50 -1.25 x 090 add 2.00", "left_sphere": "-2.25 DS add 2.00", "written": "03/02/2026"}
    visitor.go(PAGE).send(typed)
    assert _newest(desk) == "-2.50 -1.25 x 090 add 2.00"


def test_sent_twice_it_is_recorded_once(visitor: Visitor, desk: Desk) -> None:
    """A second press leads to the one that was recorded."""
    before = prescription_card(desk, 1)[0].number
    visitor.go(PAGE).send(LIKE_BEFORE, again=True)
    assert "recorded already" in visitor.words
    number = customer_card(desk, "1").wearers[0][1].number  # type: ignore[union-attr]
    assert visitor.path == f"/prescriptions/{number}"
    assert number != before


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("right_sphere", "250", "the decimal point seems to be missing"),
        ("right_sphere", "", "sphere is empty"),
        ("right_cylinder", "1.25", "the sign is missing"),
        ("right_axis", "200", "an axis runs from 1 to 180"),
        ("left_axis", "", "without an axis"),
        ("left_add", "abc", "no power"),
        ("right_prism", "2", "no prism with a base"),
        ("written", "20/02/2026", "month stands first"),
        ("prescriber", "nobody of that name", "nothing in the list"),
        ("diagnoses", "xx", "an ICD-10-CM code is"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(visitor: Visitor, desk: Desk, field: str, typed: str, said: str) -> None:
    """By the readers' own words; everything typed stands there again, and nothing was recorded."""
    before = _newest(desk)
    visitor.go(PAGE).send({**LIKE_BEFORE, field: typed})
    assert visitor.code == 422
    assert said in visitor.words
    assert f'href="#f-{field}"' in visitor.text
    shown = visitor.form(has="right_sphere").values
    assert {name: shown[name] for name in LIKE_BEFORE} == {
        name: [typed if name == field else LIKE_BEFORE[name]] for name in LIKE_BEFORE
    }
    assert _newest(desk) == before


def test_both_eyes_are_looked_at_together(visitor: Visitor) -> None:
    """All slips are said in one answer."""
    visitor.go(PAGE).send({**LIKE_BEFORE, "right_cylinder": "1.25", "right_axis": "200", "left_sphere": "225"})
    assert 'href="#f-right_cylinder"' in visitor.text
    assert 'href="#f-right_axis"' in visitor.text
    assert 'href="#f-left_sphere"' in visitor.text


def test_a_warning_is_asked_at_its_field_and_a_yes_goes_along(visitor: Visitor, desk: Desk) -> None:
    """Signs that differ are asked about; what was said yes to stays said where something else is still wrong."""
    odd = {**LIKE_BEFORE, "left_sphere": "+2.25"}
    visitor.go(PAGE).send(odd)
    assert visitor.code == 422
    codes = [each.split('"')[0] for each in visitor.text.split('name="accept" value="')[1:]]
    assert "SIGN-MISMATCH" in codes
    visitor.send({"accept": codes, "written": "2026-02"})
    assert visitor.code == 422
    visitor.send({"written": "2026-03-02"})
    assert visitor.code == 200, visitor.words
    written = customer_card(desk, "1").wearers[0][1]
    assert written is not None
    assert written.powers.left.power.sphere == 2.25


def test_what_is_read_so_far_is_said_beside_the_form(visitor: Visitor) -> None:
    """With what is another than before, or why it cannot be read; nothing is stored."""
    token = visitor.go(PAGE).form(has="right_sphere").values["token"][0]
    typed = {"token": token, "right_sphere": "-2.75", "left_sphere": "250"}
    answer = visitor.client.post(
        "/prescriptions/read?customer=1&wearer=1",
        base_url=visitor.home,
        data=typed,
        headers={"Origin": visitor.home},
    )
    said = answer.get_data(as_text=True)
    assert "-2.75 DS" in said
    assert "sphere" in said
    assert "point seems to be missing" in said


def test_somebody_new_who_wrote_it_is_added_on_the_way(visitor: Visitor, desk: Desk) -> None:
    """What was typed before is there again afterwards, with the new prescriber; then the way goes on."""
    visitor.go(f"{PAGE}?next=/customers/1").send({**LIKE_BEFORE, "do": "new prescriber"})
    assert visitor.path.startswith("/prescribers/new")
    visitor.send({"name": "Dr Sorrel Ashgrove", "phone": "555-0123"})
    assert visitor.path == f"{PAGE}?next=/customers/1"
    shown = visitor.form(has="right_sphere").values
    assert shown["prescriber"] == ["Dr Sorrel Ashgrove"]
    assert shown["right_axis"] == ["90"]
    visitor.send({"right_sphere": "-2.50"})
    assert visitor.path == "/customers/1"
    assert kept_forms(desk) == ()


@pytest.mark.parametrize("page", ["//elsewhere.example.com", "https://elsewhere.example.com", "/\\elsewhere", ""])
def test_only_a_page_of_ours_comes_next(visitor: Visitor, page: str) -> None:
    """An address elsewhere is not gone to."""
    with visitor.client.application.test_request_context("/", query_string={"next": page}):
        assert next_page() == ""


def test_a_document_and_diagnoses_come_later(visitor: Visitor, desk: Desk) -> None:
    """Each is added on the prescription's page; the document comes back byte for byte, to be saved."""
    visitor.go("/prescriptions/1/keep-file").send({"file": ("scan.pdf", b"%PDF-1.4 invented")})
    assert "The document is kept." in visitor.words
    answer = visitor.client.get("/prescriptions/1/file", base_url=visitor.home)
    assert answer.get_data() == b"%PDF-1.4 invented"
    assert answer.headers["Content-Disposition"].startswith("attachment;")
    visitor.go("/prescriptions/1/diagnoses").send({"diagnoses": "H52.13, H52.4"})
    assert "H52.13, H52.4" in visitor.words
    assert prescription_card(desk, 1)[0].diagnoses == ("H52.13", "H52.4")


def test_what_was_read_wrong_is_written_down_again(visitor: Visitor) -> None:
    """A prescription stays; a new one starts with what the wrong one says."""
    visitor.go("/prescriptions/1")
    assert "/customers/1/wearers/1/prescriptions/new?like=1" in visitor.text
    shown = visitor.go(f"{PAGE}?like=1").form(has="right_sphere").values
    assert (shown["right_sphere"], shown["right_axis"]) == (["-2.50"], ["090"])


def test_a_file_is_only_what_comes_as_one(visitor: Visitor, tmp_path: Path) -> None:
    """The name of a file of this computer, sent in the place of a file, is not read."""
    own = tmp_path / "own.txt"
    own.write_text("private")
    form = visitor.go(PAGE).form(has="right_sphere")
    typed = {**form.values, **LIKE_BEFORE, "file": str(own)}
    visitor.client.post(PAGE, base_url=visitor.home, data=typed, headers={"Origin": visitor.home})
    assert "no file is kept" in visitor.go("/prescriptions/3").words


def test_hostile_text_is_shown_as_text(visitor: Visitor) -> None:
    """What looks like a mark of the page is said, not obeyed."""
    visitor.go(PAGE).send({**LIKE_BEFORE, "right_sphere": "<script>alert(1)</script>"})
    assert "<script>alert" not in visitor.text
    assert "&lt;script&gt;" in visitor.text


def test_a_wearer_of_somebody_else_is_not_there(visitor: Visitor) -> None:
    """A number that is no wearer of this customer is said so."""
    assert visitor.go("/customers/1/wearers/99/prescriptions/new").code == 404
