"""Recording a prescription: findings stop it or are kept with it, and whoever is meant must be known."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.auditing import audit
from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.known_people import customer_and_wearers, customer_card
from shopledger.desk.people import add_wearer
from shopledger.desk.prescribing import (
    PrescriptionRequest,
    plan_prescription,
    prescription_card,
    record_prescription,
    wearer_card,
)
from shopledger.desk.prescription_files import document_name, hand_out_document, keep_document
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.files.refusals import TakenError
from shopledger.ledger.audit import Deed, Outcome
from shopledger.ledger.parties import Relationship
from shopledger.ledger.settings import Settings
from shopledger.store.refusals import FileChangedError, FileUnreadableError, NumberUnknownError
from tests.desk.books import everything, notes, on_both
from tests.desk.family import later, prescribe, prescription, set_shop
from tests.forging import forge
from tests.shelf import CHILD, CUSTOMER, SHOP

TODAY = date(2026, 3, 2)
ASKED = prescription(CUSTOMER, "-2.75 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.25", TODAY)
"""The adds differ, which is asked about; all else is as usual."""
YES = frozenset({"ADD-DIFFERS"})


@on_both
def test_a_prescription_is_kept_as_written(desk: Desk) -> None:
    """With its dates, the intermediate, where the paper lies, and the people on it."""
    asked = replace(ASKED, expires_on=date(2028, 3, 2), intermediate=1.25, document="drawer 3", accept=YES)
    written = record_prescription(desk, asked).written
    kept, wearer, prescriber = prescription_card(desk, 3)
    assert kept == written
    assert kept.powers == asked.powers
    assert (kept.written_on, kept.expires_on) == (TODAY, date(2028, 3, 2))
    assert (kept.intermediate, kept.document) == (1.25, "drawer 3")
    assert (wearer.name, prescriber.name) == (CUSTOMER, "Dr. Imre Castellane")


def test_looking_at_a_prescription_is_noted(desk: Desk) -> None:
    """It is private; the note carries the operator."""
    prescription_card(replace(desk, operator="Ines"), 1)
    assert notes(desk)[-1] == ("Ines", "looked at a prescription", "prescription 1")


def test_what_is_known_of_a_wearer_s_eyes_is_shown_and_the_look_noted(desk: Desk) -> None:
    """All prescriptions, newest first, who wrote them, and the pair made last; of nothing there is no look."""
    customer, _ = customer_and_wearers(desk, CUSTOMER)
    newer = record_prescription(desk, replace(ASKED, accept=YES)).written
    card = wearer_card(desk, customer, CUSTOMER)
    assert card.newest == newer
    assert [each.written_on for each in card.written] == sorted(
        (each.written_on for each in card.written), reverse=True
    )
    assert set(card.prescribers.values()) == {"Dr. Imre Castellane"}
    assert notes(desk)[-1][1] == "looked at prescriptions"
    add_wearer(desk, CUSTOMER, "Ottilie Fernhollow", Relationship.CHILD)
    before = notes(desk)
    assert wearer_card(desk, customer, "Ottilie").newest is None
    assert notes(desk) == before


def test_planning_a_prescription_stores_nothing(desk: Desk) -> None:
    """It only tells what was found."""
    before = everything(desk)
    plan = plan_prescription(desk, ASKED)
    assert [finding.code for finding in plan.findings] == ["ADD-DIFFERS"]
    assert everything(desk) == before


@on_both
def test_a_warning_stops_a_prescription_until_it_is_accepted(desk: Desk) -> None:
    """Nothing is stored, and the sentence says how to say yes."""
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=r"The adds differ.*\[ADD-DIFFERS\].*add --accept ADD-DIFFERS\."):
        record_prescription(desk, ASKED)
    assert everything(desk) == before


@on_both
def test_an_accepted_warning_is_kept_with_the_prescription(desk: Desk) -> None:
    """Years later it can be seen that somebody was asked."""
    record_prescription(desk, replace(ASKED, accept=YES))
    with desk.reading() as work:
        kept = work.prescriptions.accepted(3)
    assert [warning.code for warning in kept] == ["ADD-DIFFERS"]
    assert kept[0].sentence.startswith("The adds differ: right 2.00, left 2.25.")


@on_both
def test_an_error_stops_a_prescription_whatever_is_accepted(desk: Desk) -> None:
    """A sphere of -2.30 lies on no eighth; no yes helps, so none is offered."""
    before = everything(desk)
    wrong = prescription(CUSTOMER, "-2.30 DS", "-2.25 DS", TODAY, accept=frozenset({"OFF-EIGHTH"}))
    with pytest.raises(FindingsRefusedError, match="OFF-EIGHTH") as refused:
        record_prescription(desk, wrong)
    assert "--accept" not in str(refused.value)
    assert everything(desk) == before


def test_a_change_is_judged_against_the_previous_prescription(desk: Desk) -> None:
    """From -2.50 to -4.00 is more than the usual dioptre; the plan shows what it was compared with."""
    asked = prescription(CUSTOMER, "-4.00 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00", TODAY)
    plan = plan_prescription(desk, asked)
    assert plan.previous is not None
    assert plan.previous.number == 1
    assert "CHANGE-UNUSUAL" in [finding.code for finding in plan.findings]


def test_a_first_prescription_is_compared_with_none(desk: Desk) -> None:
    """There is nothing to compare with, however strong it is."""
    add_wearer(desk, CUSTOMER, "Tamsin Fernhollow", Relationship.SPOUSE)
    plan = plan_prescription(desk, prescription("Tamsin", "-6.00 DS", "-6.00 DS", TODAY))
    assert (plan.previous, plan.findings) == (None, ())


def test_the_newest_by_day_is_the_newest(desk: Desk) -> None:
    """An older prescription entered late does not take its place."""
    prescribe(desk, CHILD, "-0.75 DS", "-1.00 DS", date(2025, 1, 7))
    assert [written and written.number for _, written in customer_card(desk, CUSTOMER).wearers] == [1, 2]


def test_two_of_the_same_day_go_by_the_order_of_entering(desk: Desk) -> None:
    """The later entry is the correction."""
    prescribe(desk, CHILD, "-1.25 DS", "-1.25 DS")
    assert [written and written.number for _, written in customer_card(desk, CUSTOMER).wearers] == [1, 3]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(ASKED, written_on=date(2026, 3, 3)), "prescription day is 2026-03-03; it lies after today"),
        (
            prescription(CHILD, "-1.00 DS", "-1.25 DS", date(2015, 5, 8)),
            "prescription day is 2015-05-08; Wren Fernhollow was born on 2015-05-09",
        ),
        (replace(ASKED, expires_on=date(2026, 3, 1)), "expiry is 2026-03-01; it lies before the day of writing"),
    ],
)
def test_days_that_cannot_be_are_refused(desk: Desk, asked: PrescriptionRequest, words: str) -> None:
    """After today, before the wearer's birth, or expired before it was written."""
    with pytest.raises(RefusedError, match=words):
        record_prescription(desk, asked)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(ASKED, customer="Odalis"), "no customer called 'Odalis'. Did you mean Odalys Fernhollow"),
        (replace(ASKED, wearer="Wrem"), "no wearer called 'Wrem'. Did you mean Wren Fernhollow"),
        (replace(ASKED, prescriber="Castelane"), "no prescriber called 'Castelane'. Did you mean Dr. Imre Castellane"),
        (replace(ASKED, prescriber="Brennick"), "Add one with 'shopledger prescriber add'"),
    ],
)
def test_whoever_is_unknown_is_named(desk: Desk, asked: PrescriptionRequest, words: str) -> None:
    """With the nearest known name, or how to add one."""
    with pytest.raises(UnknownNameError, match=words):
        record_prescription(desk, asked)


def test_an_expired_prescription_is_asked_about(desk: Desk) -> None:
    """A paper found in a drawer may be entered, with a yes."""
    asked = replace(ASKED, expires_on=date(2027, 3, 2), accept=YES)
    with pytest.raises(FindingsRefusedError, match="--accept PRESCRIPTION-EXPIRED"):
        record_prescription(later(desk, date(2027, 3, 3)), asked)


@on_both
def test_an_old_prescription_is_asked_about_by_the_owner_s_limit(desk: Desk) -> None:
    """The setting is kept in the ledger; a paper older than it is entered with a yes."""
    old = replace(ASKED, written_on=date(2024, 1, 15), accept=YES)
    assert "PRESCRIPTION-OLD" not in [each.code for each in plan_prescription(desk, old).findings]
    set_shop(desk, SHOP, Settings(prescription_months=24))
    with pytest.raises(FindingsRefusedError, match=r"this shop asks after 24 months.*--accept PRESCRIPTION-OLD"):
        record_prescription(desk, old)
    fresh = replace(old, written_on=TODAY)
    assert "PRESCRIPTION-OLD" not in [each.code for each in plan_prescription(desk, fresh).findings]


def test_an_unknown_number_is_said_back(desk: Desk) -> None:
    """There are two prescriptions."""
    with pytest.raises(NumberUnknownError, match="there is no prescription 3"):
        prescription_card(desk, 3)


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """Give the file of a prescriber's document, called after its wearer."""
    file = tmp_path / "Odalys's scan.PDF"
    file.write_bytes(b"%PDF-1.4 what Dr. Castellane wrote")
    return file


@on_both
def test_the_document_is_kept_with_the_prescription(desk: Desk, scan: Path, tmp_path: Path) -> None:
    """It comes back byte for byte, from the ledger alone, under a name of our own; planning it keeps nothing."""
    before = everything(desk)
    plan = plan_prescription(desk, replace(ASKED, file=scan))
    assert everything(desk) == before
    written = record_prescription(desk, replace(ASKED, file=scan, accept=YES)).written
    assert prescription_card(desk, 3)[0] == written
    assert written.file_sha256 == plan.written.file_sha256
    assert document_name(desk, written) == "Odalys's scan.PDF"
    body = scan.read_bytes()
    scan.unlink()
    file = hand_out_document(replace(desk, operator="Ines"), 3, tmp_path)
    assert (file.name, file.read_bytes()) == ("prescription-00003.pdf", body)
    assert notes(desk)[-1] == ("Ines", "looked at a document of the prescriber", "prescription 3")
    assert prove_books(desk).holds


@on_both
def test_a_document_that_came_later_is_kept_once(desk: Desk, scan: Path, tmp_path: Path) -> None:
    """Who kept it is noted; another is refused, and the prescription itself is as it was."""
    bare = prescription_card(desk, 1)[0]
    kept = keep_document(replace(desk, operator="Ines"), 1, scan)
    assert prescription_card(desk, 1)[0] == kept
    assert replace(kept, file_sha256=None) == bare
    assert ("Ines", "added a document of the prescriber", "prescription 1") in notes(desk)
    before, other = everything(desk), tmp_path / "another.png"
    other.write_bytes(b"another")
    with pytest.raises(RefusedError, match=r"a file is kept with it, and a kept one stays"):
        keep_document(desk, 1, other)
    assert everything(desk) == before
    assert prove_books(desk).holds


def test_a_document_is_written_over_nothing_else(desk: Desk, scan: Path, tmp_path: Path) -> None:
    """What lies under its name stays; the same document again is no harm."""
    keep_document(desk, 1, scan)
    file = hand_out_document(desk, 1, tmp_path)
    assert hand_out_document(desk, 1, tmp_path) == file
    file.write_bytes(b"a letter")
    with pytest.raises(TakenError):
        hand_out_document(desk, 1, tmp_path)
    assert file.read_bytes() == b"a letter"


def test_a_document_changed_from_outside_is_not_handed_out(desk: Desk, scan: Path, tmp_path: Path) -> None:
    """Its hash no longer fits, and the proof of the books names it."""
    keep_document(desk, 1, scan)
    forge(desk, "UPDATE kept_body SET body = CAST('something else' AS BLOB)")
    with pytest.raises(FileChangedError, match="it is not what was kept"):
        hand_out_document(desk, 1, tmp_path)
    assert not prove_books(desk).holds


def test_where_no_document_is_kept_it_says_how(desk: Desk, tmp_path: Path) -> None:
    """The sentence names the command, and the look is noted as refused."""
    with pytest.raises(RefusedError, match=r"no file is kept with it\. Keep one with .* keep-file 1 FILE"):
        hand_out_document(desk, 1, tmp_path)
    assert list(tmp_path.glob("prescription-*")) == []
    newest = audit(desk)[0].note
    assert (newest.deed, newest.subject_number, newest.outcome) == (Deed.LOOKED_AT_DOCUMENT, 1, Outcome.REFUSED)


def test_a_document_that_cannot_be_read_stores_nothing(desk: Desk, tmp_path: Path) -> None:
    """Neither the prescription nor a trace of the file."""
    before = everything(desk)
    with pytest.raises(FileUnreadableError, match="cannot be kept"):
        record_prescription(desk, replace(ASKED, file=tmp_path / "nowhere.pdf", accept=YES))
    with pytest.raises(FileUnreadableError, match="cannot be kept"):
        keep_document(desk, 1, tmp_path)
    assert everything(desk) == before
