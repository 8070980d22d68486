"""Forms that were begun and not sent yet, and the numbers of those that were sent.

What a person is still typing is no record: it is written over and thrown away, so the chain does not cover it.
"""

from __future__ import annotations

from shopledger.store import columns as kept
from shopledger.store.tables.base import Unsealed, table


class KeptFormColumns(Unsealed):
    """What was typed so far into one form about one thing, as JSON."""

    kind = kept.code()
    about = kept.code()
    body = kept.words(kept.FILLED)
    operator = kept.words()
    recorded_at = kept.words()


kept_form = table("kept_form", KeptFormColumns)


class SentFormColumns(Unsealed):
    """The number that a form is sent with once, written in the transaction of its deed, and the page that it led to."""

    once = kept.code()
    page = kept.words()
    operator = kept.words()
    recorded_at = kept.words()


sent_form = table("sent_form", SentFormColumns)
