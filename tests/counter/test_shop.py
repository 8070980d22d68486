"""The shop's own pages: name and settings, tax rates, offers, and the words of its papers."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.desk import goods
from shopledger.desk.context import Desk
from shopledger.desk.shop import change_shop, shop_and_settings
from shopledger.desk.tax_rates import tax_rates
from shopledger.desk.wordings import paper_words
from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import LineKind, Matches
from shopledger.paperwork.papers import PAPERS
from tests.counter.visitor import Visitor

NEW_OFFER = {
    "code": "AUTUMN",
    "name": "Autumn weeks",
    "kind": "percent",
    "percent": "10",
    "reduces": ["frame"],
    "needs": ["lenses:single-vision"],
}


def test_the_shop_is_changed_in_place(visitor: Visitor, desk: Desk) -> None:
    """What is not changed stays as it is."""
    before = shop_and_settings(desk)
    visitor.go("/shop/profile").send({"phone": "555-0142", "receipt_wording": "Thank you."})
    shop, settings = shop_and_settings(desk)
    assert (shop.phone, shop.receipt_wording, shop.ein) == ("555-0142", "Thank you.", before[0].ein)
    assert settings == before[1]
    assert visitor.path == "/shop"


@pytest.mark.parametrize(
    ("page", "field", "typed"),
    [
        ("profile", "ein", "12-34"),
        ("profile", "phone", ""),
        ("settings", "blank_allowance", "11"),
        ("settings", "progressive_share", "140"),
        ("settings", "shipping_charge", "-1"),
        ("settings", "prescription_months", "0"),
    ],
)
def test_what_is_wrong_with_the_shop_is_said_beside_its_field(
    visitor: Visitor, desk: Desk, page: str, field: str, typed: str
) -> None:
    """Nothing is stored, and what was typed stands there."""
    before = shop_and_settings(desk)
    visitor.go(f"/shop/{page}").send({field: typed})
    assert visitor.code == 422
    assert f'href="#f-{field}"' in visitor.text
    assert visitor.form(has=field).values[field] == [typed]
    assert shop_and_settings(desk) == before


def test_settings_are_stored_as_they_are_shown(visitor: Visitor, desk: Desk) -> None:
    """Sent as they stand, nothing changes; a price that is left empty is off."""
    before = shop_and_settings(desk)
    visitor.go("/shop/settings").send({"standard_bifocal": "120.00"})
    assert shop_and_settings(desk)[1].standard_bifocal == 12000
    visitor.go("/shop/settings").send({"standard_bifocal": ""})
    assert shop_and_settings(desk) == before


def test_settings_that_changed_meanwhile_are_shown_before_they_are_written_over(visitor: Visitor, desk: Desk) -> None:
    """Nobody's change goes unseen."""
    visitor.go("/shop/profile")
    change_shop(desk, lambda shop, settings: (type(shop)(shop.name, shop.address, "555-0155", shop.ein), settings))
    visitor.send({"phone": "555-0142"})
    assert visitor.code == 422
    assert "555-0155" in visitor.words


def test_a_tax_rate_is_set_and_an_older_one_asked_about(visitor: Visitor, desk: Desk) -> None:
    """The rate stands in the list; one with days in common needs a yes."""
    before = len(tax_rates(desk))
    new = {"state": "VT", "category": "accessory", "rate": "6", "valid_from": "2026-01-01"}
    visitor.go("/shop/rates").send(new)
    assert len(tax_rates(desk)) == before + 1
    assert "Accessory in VT: 6 % from 2026-01-01" in visitor.words
    visitor.go("/shop/rates").send({**new, "rate": "7", "valid_from": "2026-02-01"})
    assert visitor.code == 422
    assert len(tax_rates(desk)) == before + 1
    visitor.send({"rate": "7", "accept": "RATE-OVERLAPS"})
    assert len(tax_rates(desk)) == before + 2


@pytest.mark.parametrize(
    ("fields", "at"),
    [
        ({"rate": ""}, "rate"),
        ({"rate": "31"}, "rate"),
        ({"rate": "6", "exempt_reason": "eyewear"}, "exempt_reason"),
        ({"rate": "6", "state": "Ohio"}, "state"),
        ({"rate": "6", "zips": "430"}, "zips"),
        ({"rate": "6", "valid_from": "2026-03-02", "valid_to": "2026-03-01"}, "valid_to"),
        ({"rate": "", "as_goods": "yes"}, "category"),
    ],
)
def test_a_rate_that_cannot_be_is_refused_at_its_field(
    visitor: Visitor, desk: Desk, fields: dict[str, str], at: str
) -> None:
    """No rate is set."""
    before = tax_rates(desk)
    visitor.go("/shop/rates").send({"state": "VT", "category": "accessory", **fields})
    assert visitor.code == 422
    assert f'href="#f-{at}"' in visitor.text
    assert tax_rates(desk) == before


def test_an_offer_is_added_and_ended(visitor: Visitor, desk: Desk) -> None:
    """It reduces what was ticked, until its last day."""
    visitor.go("/shop/offers/new").send(NEW_OFFER)
    added = goods.OFFERS.called(desk, "AUTUMN")
    assert added.reduces == (Matches(LineKind.FRAME),)
    assert added.needs == (Matches(LineKind.LENSES, Design.SINGLE_VISION),)
    assert "10 % off frame" in visitor.words
    visitor.go("/shop/offers/AUTUMN/end").send({"on": "2026-12-31"})
    ended = goods.OFFERS.called(desk, "AUTUMN").ends
    assert ended is not None
    assert ended.isoformat() == "2026-12-31"


@pytest.mark.parametrize(
    ("fields", "at"), [({"percent": ""}, "percent"), ({"reduces": []}, ""), ({"from_pair": "0"}, "from_pair")]
)
def test_an_offer_that_cannot_be_is_refused(
    visitor: Visitor, desk: Desk, fields: dict[str, str | list[str]], at: str
) -> None:
    """No offer is stored."""
    before = goods.OFFERS.all(desk)
    visitor.go("/shop/offers/new").send({**NEW_OFFER, **fields})
    assert visitor.code == 422
    assert not at or f'href="#f-{at}"' in visitor.text
    assert goods.OFFERS.all(desk) == before


def test_every_paper_is_shown_with_invented_content(visitor: Visitor) -> None:
    """As a PDF that a page of ours alone may frame."""
    for key in PAPERS:
        answer = visitor.client.get(f"/shop/wording/{key}/sample", base_url=visitor.home)
        assert answer.mimetype == "application/pdf"
        assert answer.data.startswith(b"%PDF-")


@pytest.mark.parametrize("key", sorted(PAPERS))
def test_words_that_are_stored_unchanged_say_the_same(visitor: Visitor, desk: Desk, key: str) -> None:
    """What the form shows is the whole wording: sent as it stands, every entry comes back as it was."""
    before = paper_words(desk, key).wording
    visitor.go(f"/shop/wording/{key}").send(has="date")
    assert visitor.code == 200, visitor.words
    after = paper_words(desk, key)
    assert after.own
    assert dict(after.wording.entries) == dict(before.entries)


def test_a_paper_is_said_otherwise_and_taken_back(visitor: Visitor, desk: Desk) -> None:
    """From then on, until it is taken back."""
    visitor.go("/shop/wording/receipt").send({"patient.heading": "WEARER"})
    assert paper_words(desk, "receipt").wording["patient.heading"] == "WEARER"
    visitor.go("/shop/wording/receipt").press("/shop/wording/receipt/shipped")
    assert paper_words(desk, "receipt").wording["patient.heading"] == "PATIENT"
    assert not paper_words(desk, "receipt").own


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("titles.number", "No."),
        ("titles.number", "No. {numbre}"),
        ("date", "{day}"),
        ("order", "parties, dates"),
        ("look.strip", "grey"),
        ("look.logo", "nowhere.png"),
        ("patient.heading", "{"),
    ],
)
def test_words_that_cannot_be_are_refused_at_their_field(visitor: Visitor, desk: Desk, field: str, typed: str) -> None:
    """Nothing is stored, all that was typed stands there, and the look at it says the same."""
    visitor.go("/shop/wording/receipt").send({field: typed, "payer.heading": "PAYS"})
    assert visitor.code == 422
    assert f'href="#f-{field}"' in visitor.text
    assert visitor.form(has="payer.heading").values["payer.heading"] == ["PAYS"]
    assert not paper_words(desk, "receipt").own
    tried = tried_words(visitor, {field: typed})
    assert tried == (422, "text/html")


def test_words_are_looked_at_before_they_are_stored(visitor: Visitor, desk: Desk) -> None:
    """The look is a paper, and stores nothing."""
    assert tried_words(visitor, {"patient.heading": "WEARER"}) == (200, "application/pdf")
    assert not paper_words(desk, "receipt").own


def tried_words(visitor: Visitor, typed: dict[str, str]) -> tuple[int, str]:
    """Press the button that shows a receipt in other words; gives the answer's code and kind."""
    form = visitor.go("/shop/wording/receipt").form(has="date")
    answer = visitor.client.post(
        "/shop/wording/receipt/try",
        base_url=visitor.home,
        data={**form.values, **typed},
        headers={"Origin": visitor.home},
    )
    return answer.status_code, answer.mimetype or ""


def test_a_file_written_by_hand_is_kept(visitor: Visitor, desk: Desk) -> None:
    """Its words are shown, and it steps aside where others are stored."""
    assert desk.own_templates is not None
    shipped = (Path(__file__).parents[2] / "templates" / "papers" / "receipt.toml").read_text(encoding="utf-8")
    file = desk.own_templates / "papers" / "receipt.toml"
    file.parent.mkdir(parents=True)
    file.write_text(shipped.replace('"PATIENT"', '"WEARER"'), encoding="utf-8")
    visitor.go("/shop/wording/receipt")
    assert visitor.form(has="date").values["patient.heading"] == ["WEARER"]
    visitor.send({"patient.heading": "WHO WEARS THEM"})
    assert "WEARER" in file.with_name("receipt by hand 1.toml").read_text(encoding="utf-8")
    assert paper_words(desk, "receipt").wording["patient.heading"] == "WHO WEARS THEM"


def test_a_file_with_a_slip_is_told_and_can_be_mended(visitor: Visitor, desk: Desk) -> None:
    """The pages show the shipped words until others are stored."""
    assert desk.own_templates is not None
    file = desk.own_templates / "papers" / "receipt.toml"
    file.parent.mkdir(parents=True)
    file.write_text("date = 1\n", encoding="utf-8")
    assert "cannot be used" in visitor.go("/shop/wording").words
    visitor.go("/shop/wording/receipt").send(has="date")
    assert paper_words(desk, "receipt").trouble == ""


def test_a_logo_is_taken_and_shown(visitor: Visitor, desk: Desk) -> None:
    """A picture becomes a file of the shop's own, which a paper names; what is no picture is refused."""
    picture = (Path(__file__).parents[2] / "demo").rglob("*.png")
    body = next(iter(picture)).read_bytes()
    visitor.go("/shop/wording/logo").send({"picture": ("../../logo.png", body)})
    assert desk.own_templates is not None
    (logo,) = desk.own_templates.glob("logo-*.png")
    assert logo.read_bytes() == body
    visitor.go("/shop/wording/logo").send({"picture": ("logo.png", b"GIF89a")})
    assert visitor.code == 422


def test_the_overview_names_what_is_left_to_do(visitor: Visitor) -> None:
    """And leads to every page of the shop."""
    said = visitor.go("/shop").words
    assert "still to be done" in said
    for words in ("Settings", "Offers", "Sales tax rates", "Words of the papers"):
        assert words in said


@pytest.mark.parametrize("path", ["/shop/wording/nothing", "/shop/wording/..%2freceipt", "/shop/offers/NONE/end"])
def test_what_is_not_there_is_said(visitor: Visitor, path: str) -> None:
    """In a sentence, and nothing is read from elsewhere."""
    assert visitor.go(path).code == 404
