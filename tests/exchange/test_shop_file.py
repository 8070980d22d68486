"""The shop's file: profile and settings are read, and each slip is told."""

from __future__ import annotations

import pytest

from shopledger.exchange.refusals import FileRefusedError, RowsRefusedError
from shopledger.exchange.shop_file import read_shop_file
from shopledger.ledger.catalogue import Design
from shopledger.ledger.parties import Address, Shop
from shopledger.ledger.settings import Accounting, InventoryView, Settings
from shopledger.money.tax import TaxRounding
from shopledger.places import demo_folder

SMALL = """\
name = "Quillfeather Optical"
phone = "555-0100"
ein = "12-3456789"

[address]
street = "4 Tannery Row"
city = "Millbrae"
state = "OH"
zip = "03002"
"""
SETTINGS = """
[settings]
tax_rounding = "order"
progressive_share = "40 %"
screen_share = 60
blank_allowance = 1.5
shipping_charge = "6.50"
paper = "a4"
standard_bifocal = "110.00"
progressive_base = "trifocal"
standard_frame = "120.00"
accounting = "cash"
inventory_view = "materials"
prescription_months = 24
"""


def test_a_small_file_is_a_shop_with_the_usual_settings() -> None:
    """Name, phone, EIN and address are enough; a ZIP code keeps its leading zero."""
    read = read_shop_file(SMALL)
    address = Address("4 Tannery Row", "Millbrae", "OH", "03002")
    assert read.shop == Shop("Quillfeather Optical", address, "555-0100", "12-3456789")
    assert read.settings == Settings()


def test_settings_are_put_over_those_before() -> None:
    """What the file names is changed, what it does not name stays."""
    assert read_shop_file(SMALL + SETTINGS).settings == Settings(
        TaxRounding.PER_ORDER,
        400_000,
        600_000,
        1.5,
        650,
        "a4",
        11000,
        Design.TRIFOCAL,
        12000,
        Accounting.CASH,
        InventoryView.MATERIALS,
        24,
    )
    before = Settings(shipping_charge=800, paper="a4")
    assert read_shop_file(SMALL + "[settings]\nblank_allowance = 1\n", before).settings == Settings(
        shipping_charge=800, paper="a4", blank_allowance=1.0
    )
    assert read_shop_file(SMALL, before).settings == before


def test_the_demo_s_shop_can_be_read() -> None:
    """The invented shop's own file is whole."""
    assert read_shop_file(demo_folder() / "shop.toml").shop.name == "Quillfeather Optical"


REFUSED = {
    "near key": (SMALL.replace("phone", "fone"), "Did you mean 'phone'?"),
    "near table": (SMALL.replace("[address]", "[adress]"), "Did you mean 'address'?"),
    "near setting": (SMALL + SETTINGS.replace("paper", "papr"), "Did you mean 'paper'?"),
    "no address": (SMALL.partition("[address]")[0], "'address' is missing"),
    "no address in it": ("address = []\n" + SMALL.partition("[address]")[0], "it is one table, [address]"),
    "two addresses": (
        SMALL.replace("[address]", "[[address]]") + "[[address]]\n" + SMALL.partition("]\n")[2],
        "it is one table, [address]",
    ),
    "no street": (SMALL.replace('street = "4 Tannery Row"\n', ""), "address 1: 'street' is missing"),
    "a social security number": (SMALL.replace("12-3456789", "123-45-6789"), "social security number"),
    "wrong check digit": ('npi = "1234567890"\n' + SMALL, "its check digit does not fit"),
    "no state": (SMALL.replace("OH", "Ohio"), "a state is its two-letter postal code"),
    "ZIP as a number": (SMALL.replace('"03002"', "43002"), "'zip' is 43002; it must be text"),
    "other paper": (SMALL + SETTINGS.replace("a4", "legal"), "paper is letter or a4"),
    "absurd allowance": (SMALL + SETTINGS.replace("1.5", "15"), "it must lie from 0 to 10 mm"),
    "negative charge": (SMALL + SETTINGS.replace("6.50", "-6.50"), "it may not be negative"),
    "other rounding": (SMALL + SETTINGS.replace('"order"', '"month"'), "it is line or order"),
}


@pytest.mark.parametrize(("text", "reason"), REFUSED.values(), ids=REFUSED.keys())
def test_a_slip_is_told(text: str, reason: str) -> None:
    """What the shop's papers could not show is refused with what to do."""
    with pytest.raises(FileRefusedError) as caught:
        read_shop_file(text)
    assert reason in str(caught.value)


def test_all_slips_are_told_at_once() -> None:
    """Slips in the profile, the address and the settings come in one go."""
    text = SMALL.replace("phone", "x").replace("OH", "Ohio") + SETTINGS.replace("6.50", "six")
    with pytest.raises(RowsRefusedError) as caught:
        read_shop_file(text)
    assert [problem.line for problem in caught.value.problems] == [5, 16, 2, None]
