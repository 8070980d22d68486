"""Inspection records on both databases: issued once, the same bytes years later, a new one only where asked for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.certifying import print_certificate, print_issued
from shopledger.desk.context import Desk
from shopledger.desk.goods import FRAMES, LENSES
from shopledger.desk.inspecting import record_impact, record_inspection, record_remake
from shopledger.desk.orders import cancel_order, ship_order
from shopledger.desk.people import change_wearer
from shopledger.desk.sales import record_sale
from shopledger.errors import PaperworkError, RefusedError
from shopledger.ledger.inspections import ImpactProof
from shopledger.ledger.parties import Address
from shopledger.ledger.settings import Settings
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.places import templates_folder
from shopledger.store.inspections import Inspections
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import DISTANCE, later, ordered, read_as_ordered, set_shop
from tests.desk.test_inspecting import AXIS_OFF
from tests.shelf import CUSTOMER, SHOP, SINGLE, WREN

DAY = date(2026, 3, 9)
PROOF = "the proof of impact resistance"


@pytest.fixture
def inspected(desk: Desk) -> Desk:
    """Sell a distance pair, which passes a week later."""
    record_sale(desk, ordered(DISTANCE))
    there = later(desk, DAY)
    record_inspection(there, read_as_ordered(there, 1))
    return there


def own_wording(desk: Desk) -> None:
    """Write the owner's own wording of the record."""
    assert desk.own_templates is not None
    own = desk.own_templates / "papers" / "certificate.toml"
    own.parent.mkdir(parents=True)
    shipped = (templates_folder() / "papers" / "certificate.toml").read_text(encoding="utf-8")
    own.write_text(shipped.replace('paper = "Inspection record"', 'paper = "Proof"'), encoding="utf-8")


@on_both
def test_a_record_is_printed_again_years_later_byte_for_byte(inspected: Desk, tmp_path: Path) -> None:
    """Whatever has changed since: shop, paper, wording, goods, the wearer's name, proof, shipping."""
    first = print_certificate(inspected, 1, tmp_path)
    assert (first.content.number, first.content.issued_on, first.first, first.changed) == (1, "2026-03-09", True, ())
    whole = first.file.read_bytes()
    record_impact(inspected, 1, ImpactProof.CERTIFICATE, "Brightwater C-2207")
    ship_order(inspected, 1, "post")
    there = later(inspected, date(2031, 5, 6))
    set_shop(there, replace(SHOP, name="Elsewhere", address=Address("1 New Way", "Fennick", "OH", "43001")),
                Settings(paper="a4"))  # fmt: skip
    LENSES.change(there, SINGLE.code, {"name": "Odd single"})
    FRAMES.change(there, WREN.code, {"colour": "sea"})
    change_wearer(there, CUSTOMER, CUSTOMER, lambda wearer: replace(wearer, name="Odalys Marrowdene"))
    own_wording(there)
    again = print_certificate(there, 1, tmp_path)
    assert (again.file, again.first, again.content) == (first.file, False, first.content)
    assert again.file.read_bytes() == whole
    assert print_issued(there, 1, tmp_path).file.read_bytes() == whole
    assert again.changed == (
        "the shop's profile", "the wearer's name", "the names of frame and lens", PROOF,
        "the day until which its records are kept",
    )  # fmt: skip
    assert again.overtaken == ()


@on_both
def test_a_new_record_is_issued_on_demand_alone(inspected: Desk, tmp_path: Path) -> None:
    """It gets a number of its own and says whose place it takes; the first is still there, unchanged."""
    first = print_certificate(inspected, 1, tmp_path)
    whole = first.file.read_bytes()
    record_impact(inspected, 1, ImpactProof.CERTIFICATE, "Brightwater C-2207")
    assert print_certificate(inspected, 1, tmp_path).changed == (PROOF,)
    anew = print_certificate(later(inspected, date(2026, 3, 12)), 1, tmp_path, anew=True)
    assert (anew.content.number, anew.content.replaces, anew.first, anew.changed) == (2, 1, True, ())
    assert anew.file.name == "inspection-record-00002.pdf"
    for said in ("No. 2", "Issued Mar 12, 2026 in place of No. 1", "Brightwater C-2207"):
        assert said in words_in(anew.file)
    assert print_certificate(inspected, 1, tmp_path).content == anew.content
    old = print_issued(inspected, 1, tmp_path)
    assert (old.replaced_by, old.file.read_bytes()) == (2, whole)
    assert notes(inspected)[-1] == ("tester", "printed a certificate", "certificate 1")


@on_both
def test_a_new_record_is_refused_where_it_would_say_the_same(inspected: Desk, tmp_path: Path) -> None:
    """Neither before the first, nor to the letter the same; nothing is stored. Another paper size is reason enough."""
    before = everything(inspected)
    with pytest.raises(RefusedError, match="no record of inspection 1 was issued yet"):
        print_certificate(inspected, 1, tmp_path, anew=True)
    assert everything(inspected) == before
    print_certificate(inspected, 1, tmp_path)
    before = everything(inspected)
    with pytest.raises(RefusedError, match="inspection record 1 of inspection 1 would say the same today"):
        print_certificate(inspected, 1, tmp_path, anew=True)
    assert everything(inspected) == before
    set_shop(inspected, SHOP, Settings(paper="a4"))
    assert print_certificate(inspected, 1, tmp_path).changed == ()
    assert print_certificate(inspected, 1, tmp_path, anew=True).content.paper == "a4"


@on_both
def test_each_inspection_has_a_record_of_its_own(inspected: Desk, tmp_path: Path) -> None:
    """What overtook an inspection is told beside its record, which itself stays as it was."""
    record_inspection(inspected, read_as_ordered(inspected, 1, read=AXIS_OFF))
    failed = print_certificate(inspected, 1, tmp_path)
    assert (failed.content.passed, failed.content.number, failed.content.inspection_number) == (False, 1, 2)
    whole = failed.file.read_bytes()
    record_remake(inspected, 1, "axis off by 6", 1850)
    remade = "the job was made again on 2026-03-09 (remake 1)"
    assert print_certificate(inspected, 1, tmp_path).overtaken == (remade,)
    record_inspection(inspected, read_as_ordered(inspected, 1))
    passed = print_certificate(inspected, 1, tmp_path)
    assert (passed.content.passed, passed.content.number, passed.content.replaces, passed.first) == (
        True,
        2,
        None,
        True,
    )
    again = print_issued(inspected, 1, tmp_path)
    assert again.overtaken == (remade, "it was inspected anew on 2026-03-09 and passed (inspection 3)")
    assert (again.replaced_by, again.file.read_bytes()) == (None, whole)


@on_both
def test_a_record_of_a_cancelled_order_can_still_be_looked_at(desk: Desk, tmp_path: Path) -> None:
    """By its number; a new one is not issued any more."""
    record_sale(desk, ordered(DISTANCE))
    record_inspection(desk, read_as_ordered(desk, 1))
    whole = print_certificate(desk, 1, tmp_path).file.read_bytes()
    cancel_order(desk, 1, "changed her mind")
    with pytest.raises(RefusedError, match="was cancelled on"):
        print_certificate(desk, 1, tmp_path)
    assert print_issued(desk, 1, tmp_path).file.read_bytes() == whole


def test_a_number_that_was_never_given_is_refused(inspected: Desk, tmp_path: Path) -> None:
    """Nothing is noted of it."""
    before = everything(inspected)
    with pytest.raises(NumberUnknownError, match="there is no inspection record 4"):
        print_issued(inspected, 4, tmp_path)
    assert everything(inspected) == before


def test_a_record_changed_from_outside_is_not_printed(
    inspected: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its frozen content no longer has the hash that was stored with it."""
    print_certificate(inspected, 1, tmp_path)
    with inspected.reading() as work:
        stored = work.inspections.certificate(1)
    forged = replace(stored, body=stored.body.replace(CUSTOMER, "Somebody Else"))
    monkeypatch.setattr(Inspections, "certificate", lambda *_: forged)
    with pytest.raises(PaperworkError, match="inspection record 1 does not match its own hash"):
        print_issued(inspected, 1, tmp_path)


def test_no_number_is_taken_for_a_record_that_cannot_be_printed(
    inspected: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The paper is placed before anything is stored for good."""
    before = everything(inspected)

    def broken(*_: object, **__: object) -> None:
        raise DoesNotFitError("the record", "300 mm", "280 mm", "Shorten it.")

    monkeypatch.setattr("shopledger.desk.printing.document_of", broken)
    with pytest.raises(PaperworkError, match="does not fit"):
        print_certificate(inspected, 1, tmp_path)
    assert everything(inspected) == before
