"""Who may come to the counter from another computer, each with what proves a passphrase."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.audit import Subject
from shopledger.ledger.logins import Login, folded
from shopledger.store.audit import Audit
from shopledger.store.records import Record
from shopledger.store.tables.logins import login
from shopledger.store.transaction import Area

LOGIN: Final = Record(Login, login, also=("folded", "secret"))
WHAT: Final = "login"


class Logins(Area):
    """The logins; each change is noted, and no secret with it."""

    def all(self) -> tuple[Login, ...]:
        """Give all, by name."""
        return self.transaction.all(LOGIN, order=(login.c.folded,))

    def called(self, name: str) -> Login | None:
        """Give the one of a name, or None."""
        return self.transaction.one(LOGIN, {login.c.folded: folded(name)})

    def secret_of(self, name: str) -> str:
        """Give what proves the passphrase of a name; empty where there is no such name."""
        found = self.transaction.asked("SELECT secret FROM login WHERE folded = :folded", folded=folded(name))
        return str(found[0].secret) if found else ""

    def add(self, new: Login, secret: str) -> None:
        """Let somebody log in."""
        self.transaction.put(LOGIN, new, folded=new.folded, secret=secret)
        self._note(None, new)

    def change(self, before: Login, new: Login, secret: str = "") -> None:
        """Change what somebody may do, or the passphrase where a new secret is given."""
        values: dict[str, object] = {"role": new.role, **({"secret": secret} if secret else {})}
        self.transaction.change(login, values, {login.c.folded: before.folded})
        self._note(before, new)

    def remove(self, gone: Login) -> None:
        """Let somebody log in no more; what they recorded keeps their name."""
        self.transaction.remove(login, {login.c.folded: gone.folded})
        self._note(gone, None)

    def _note(self, before: Login | None, after: Login | None) -> None:
        Audit(self.transaction).changed(Subject.SHOP, None, before, after, detail=WHAT)
