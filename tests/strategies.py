"""What hypothesis draws from, for the tests of every package."""

from __future__ import annotations

from datetime import date

from hypothesis import strategies as st

from shopledger.money.amount import LARGEST
from shopledger.money.rate import WHOLE

ANY_AMOUNTS = st.integers(-LARGEST, LARGEST)
"""Every amount that can be typed, in cents."""

SHOP_AMOUNTS = st.integers(-10_000_000, 10_000_000)
"""Amounts as a shop sees them, to 100,000.00 either way, in cents."""

PRICES = st.integers(1, 500_000)
"""Prices above nothing, to 5,000.00, in cents."""

RATES = st.integers(0, WHOLE)
"""Percentages from 0 to 100, in millionths."""

DAYS = st.dates(date(2015, 1, 1), date(2045, 12, 31))
"""Days on which the shop may be open."""

_SEEN = st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"])
TEXTS = st.text(_SEEN, min_size=1, max_size=60).filter(str.strip)
"""Something that a customer may be called, of letters and signs that can be seen."""
