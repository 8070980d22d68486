"""What each role may do at the counter, said in one place: by the part of the counter, and by the page within it.

Whoever does the work of the counter may not see the books, set up the shop, erase anybody or touch the copies. A part
that is named nowhere here is the owner's, and a test asks for its name.
"""

from __future__ import annotations

from typing import ClassVar, Final

from werkzeug.exceptions import Forbidden

from shopledger.ledger.logins import Role

COUNTER_PARTS: Final = frozenset(
    {
        *("door", "today", "finding", "keeping", "help", "papers"),
        *("people", "prescribing", "prescription", "sale", "orders", "receipts", "remedies"),
        *("reorder", "bench", "traces", "goods"),
    }
)
"""The parts in which the work of the counter is done."""
OWNER_PARTS: Final = frozenset({"shop", "setting_up", "money", "months", "bills", "personal_data"})
"""The parts that are the owner's alone."""
OWNER_PAGES: Final[frozenset[str]] = frozenset()
"""The owner's pages within the parts of the counter's work."""
OWNER_WORDS: Final = ("erase", "erasure", "legal_hold", "held", "backup", "restore")
"""What no page is called that the counter's role may use."""


class OwnersOnly(Forbidden):
    """The page is not for this role."""

    said: ClassVar = (
        "That is the owner's",
        "Your login is for the work at the counter. Ask the owner to do it, or to let you do all.",
    )


def may(role: Role, endpoint: str | None) -> bool:
    """Tell whether a role may use a page."""
    if role is Role.OWNER or endpoint is None:
        return True
    part, _, page = endpoint.partition(".")
    if endpoint in OWNER_PAGES or any(word in page for word in OWNER_WORDS):
        return False
    return part in COUNTER_PARTS or endpoint == "static"
