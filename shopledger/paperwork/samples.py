"""The invented shop and people of the sample papers, which show a changed wording before a customer sees it."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.papers.shop_lines import ShopLines

SHOP: Final = ShopLines(
    "Sample Row Optical", ("5 Sample Row", "Fennick, OH 43001"), "555-0123", "desk@sample.example.com"
)
HOME: Final = ("30 Orchard Close", "Millbrae, OH 43002")
CUSTOMER: Final = "Ilse Marrowdene"
CHILD: Final = "Tobin Marrowdene"
HEAD: Final = "128-9f3c5a7be2d41c60"
FRAME: Final = "Harrow Row Finch, moss, 50-19-140"
