"""The paper that holds the secret key of encrypted copies: the only place where that key stands."""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.papers.shop_lines import ShopLines

_GROUP = 4
ASKED_BACK = 8
"""How many of the last letters are typed back, to show that the paper was read."""


@dataclass(frozen=True, slots=True)
class BackupKeyPaper:
    """Everything on the paper. The day is ISO text."""

    made_on: str
    shop: ShopLines
    secret: str
    public: str

    @property
    def groups(self) -> tuple[str, ...]:
        """The secret key in groups of four letters."""
        return tuple(self.secret[start : start + _GROUP] for start in range(0, len(self.secret), _GROUP))

    def was_read(self, typed: str) -> bool:
        """Tell whether what was typed are the last letters of the secret key."""
        return "".join(typed.split()).upper() == self.secret[-ASKED_BACK:].upper()
