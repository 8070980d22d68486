"""The shop itself: who it is, what it has set, what it sells on which terms, its papers' words, its records."""

from __future__ import annotations

from shopledger.counter.pages.shop import offers, overview, profile, rates, wording
from shopledger.counter.pages.shop.part import pages

__all__ = ["offers", "overview", "pages", "profile", "rates", "wording"]
