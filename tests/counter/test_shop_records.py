"""The shop's records on pages: the catalogue from files, proof, who looked, keeping, the program's version."""

from __future__ import annotations

import pytest

from shopledger.desk import goods
from shopledger.desk.context import Desk
from shopledger.desk.erasing import keeping
from shopledger.desk.tax_rates import tax_rates
from shopledger.store.revision import PROGRAM
from tests.counter.visitor import Visitor
from tests.exchange.test_catalogue_csv import AS_FILE, FRAMES
from tests.forging import forge

RATES = b"State,Category,Rate,Valid from\nVT,accessory,6,2026-01-01\n"


@pytest.mark.parametrize(
    ("name", "body", "kind"),
    [("frames.csv", FRAMES, "frame"), ("FRAMES.CSV", FRAMES, "frame"), ("new.toml", AS_FILE, "")],
)
def test_goods_are_loaded_from_a_file(visitor: Visitor, desk: Desk, name: str, body: str, kind: str) -> None:
    """A sheet whose kind is said, or a catalogue file; counts are on the shelf then."""
    visitor.go("/shop/catalogue").send({"goods": (name, body.replace("WREN-52", "WREN-99").encode()), "kind": kind})
    assert "Loaded: 1 frames." in visitor.words
    assert goods.FRAMES.called(desk, "WREN-99")[1] == 3


def test_all_rows_are_loaded_or_none(visitor: Visitor, desk: Desk) -> None:
    """Each slip is told with its line."""
    body = FRAMES.replace("WREN-52", "WREN-99") + "LARK-50,Harrow Row,Lark,oak,wide,18,140,99.00,1,1\n"
    before = goods.FRAMES.all(desk)
    visitor.go("/shop/catalogue").send({"goods": ("frames.csv", body.encode()), "kind": "frame"})
    assert visitor.code == 422
    assert "line 3" in visitor.words
    assert goods.FRAMES.all(desk) == before


def test_a_sheet_needs_its_kind(visitor: Visitor) -> None:
    """It is asked for at its field."""
    visitor.go("/shop/catalogue").send({"goods": ("frames.csv", FRAMES.encode())})
    assert visitor.code == 422
    assert 'href="#f-kind"' in visitor.text


def test_rates_that_meet_others_need_a_yes(visitor: Visitor, desk: Desk) -> None:
    """As where they are set one by one; the file is sent again with the yes."""
    visitor.go("/shop/catalogue").send({"goods": ("rates.csv", RATES), "kind": "tax"})
    before = len(tax_rates(desk))
    other = RATES.replace(b"6,2026-01", b"7,2026-02")
    visitor.go("/shop/catalogue").send({"goods": ("rates.csv", other), "kind": "tax"})
    assert visitor.code == 422
    visitor.send({"goods": ("rates.csv", other), "kind": "tax", "accept": "RATE-OVERLAPS"})
    assert len(tax_rates(desk)) == before + 1


@pytest.mark.parametrize("how", ["newest", "all"])
def test_a_whole_ledger_is_proven(visitor: Visitor, how: str) -> None:
    """Each check with what it looked at."""
    visitor.go("/shop/proof").send({"how": how})
    assert "Nothing was changed from outside" in visitor.words


def test_a_ledger_that_was_changed_from_outside_is_told(visitor: Visitor, desk: Desk) -> None:
    """With where it differs, and what to do."""
    forge(desk, "UPDATE customer SET phone = '555-0199'")
    visitor.go("/shop/proof").send({"how": "all"})
    assert "The ledger differs" in visitor.words
    assert "customer" in visitor.words


@pytest.mark.parametrize(("head", "at"), [("nonsense", True), ("1-0000000000000000", False)])
def test_a_printed_head_is_proven_too(visitor: Visitor, head: str, at: bool) -> None:
    """One that cannot be read is refused at its field, one that the ledger does not hold differs."""
    visitor.go("/shop/proof").send({"how": "newest", "head": head})
    assert (visitor.code == 422) is at
    assert ("The ledger differs" in visitor.words) is not at


def test_who_changed_what_is_shown(visitor: Visitor) -> None:
    """From what to what, and by whom; of one deed alone where it is asked."""
    visitor.go("/customers/1/change").send({"phone": "555-0177"})
    said = visitor.go("/shop/audit").words
    assert "phone:" in said
    assert "555-0177" in said
    assert "tester" in said
    assert "555-0177" not in visitor.go("/shop/audit?deed=erased").words
    assert "555-0177" in visitor.go("/shop/audit?customer=1").words


def test_years_are_changed(visitor: Visitor, desk: Desk) -> None:
    """What is below the law's own years is refused at its field."""
    visitor.go("/shop/keeping").send({"audit_years": "8"})
    assert keeping(desk).audit_years == 8
    visitor.go("/shop/keeping").send({"lens_years": "1"})
    assert visitor.code == 422
    assert keeping(desk).lens_years != 1


def test_the_version_is_said_with_what_is_new(visitor: Visitor) -> None:
    """As in the changes' own text."""
    said = visitor.go("/shop/version").words
    assert f"shopledger {PROGRAM}" in said
    assert "opens the same pages" in said
