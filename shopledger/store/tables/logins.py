"""Who may come to the counter from another computer."""

from __future__ import annotations

from shopledger.ledger.logins import Role
from shopledger.store import columns as kept
from shopledger.store.tables.base import Recorded, table


class LoginColumns(Recorded):
    """Somebody who may log in; the secret proves a passphrase and is shown and exported nowhere."""

    folded = kept.code()
    name = kept.words(kept.FILLED)
    role = kept.one_of(Role)
    secret = kept.words(kept.FILLED)


login = table("login", LoginColumns)
