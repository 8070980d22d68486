"""How a paper names the shop: the lines of its head, taken from the shop's profile or from an issued receipt."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.parties import Shop
from shopledger.ledger.receipt import ReceiptContent


@dataclass(frozen=True, slots=True)
class ShopLines:
    """The shop as printed; what is not known is empty text."""

    name: str
    address: tuple[str, ...]
    phone: str
    email: str
    ein: str = ""
    npi: str = ""


def shop_lines(shop: Shop, *, identifiers: bool = False) -> ShopLines:
    """Give the shop's lines from its profile; the tax id and NPI only on papers for a plan or an account."""
    ein, npi = (shop.ein, shop.npi) if identifiers else ("", "")
    return ShopLines(shop.name, shop.address.lines, shop.phone, shop.email, ein, npi)


def shop_lines_of(receipt: ReceiptContent) -> ShopLines:
    """Give the shop's lines as they were frozen on a receipt."""
    return ShopLines(
        receipt.shop_name, receipt.shop_lines, receipt.shop_phone, receipt.shop_email, receipt.ein, receipt.npi
    )
