"""Forms that were begun, and the numbers of those that were sent."""

from __future__ import annotations

import json
from collections.abc import Iterable

from shopledger.ledger.forms import KeptForm, Typed, names_them
from shopledger.store.tables.forms import kept_form, sent_form
from shopledger.store.transaction import Area, Where


class Forms(Area):
    """The ledger's half-filled forms."""

    def keep(self, kind: str, about: str, typed: Typed) -> None:
        """Keep what was typed so far, over what was kept before."""
        self.drop(kind, about)
        body = json.dumps({name: list(values) for name, values in typed.items()}, ensure_ascii=False)
        self.transaction.add(kept_form, {"kind": kind, "about": about, "body": body})

    def kept(self, kind: str | None = None, about: str | None = None) -> tuple[KeptForm, ...]:
        """Give the forms that were begun, the newest first."""
        asked = "SELECT kind, about, body, operator, recorded_at FROM kept_form ORDER BY recorded_at DESC, kind, about"
        return tuple(
            KeptForm(row.kind, row.about, json.loads(row.body), row.operator, row.recorded_at)
            for row in self.transaction.asked(asked)
            if kind in (None, row.kind) and about in (None, row.about)
        )

    def drop(self, kind: str, about: str) -> bool:
        """Throw away what was kept; tells whether there was anything."""
        mine: Where = {kept_form.c.kind: kind, kept_form.c.about: about}
        there = self.transaction.has(kept_form, mine)
        self.transaction.remove(kept_form, mine)
        return there

    def drop_naming(self, names: Iterable[str]) -> None:
        """Throw away what was typed of a person who is erased."""
        wanted = tuple(names)
        for form in self.kept():
            said = " ".join(value for values in form.typed.values() for value in values)
            if any(names_them(said, name) for name in wanted):
                self.drop(form.kind, form.about)

    def drop_older(self, moment: str) -> None:
        """Throw away what nobody went on with since a moment, and the numbers that were sent before it."""
        for table in (kept_form, sent_form):
            self.transaction.connection.execute(table.delete().where(table.c.recorded_at < moment))

    def sent(self, once: str) -> str | None:
        """Give the page that a form led to which was sent under a number; None where none was, empty where unknown."""
        found = self.transaction.asked("SELECT page FROM sent_form WHERE once = :once", once=once)
        return str(found[0].page) if found else None

    def note_sent(self, once: str) -> None:
        """Note, in the transaction of a form's deed, that the form was sent."""
        self.transaction.add(sent_form, {"once": once, "page": ""})

    def lead_to(self, once: str, page: str) -> None:
        """Note to which page a form that was sent has led."""
        self.transaction.change(sent_form, {"page": page}, {sent_form.c.once: once}, stamped=False)
