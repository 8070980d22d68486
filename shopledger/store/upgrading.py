"""Bringing an older ledger up to date as it is opened: said before, copied and the copy checked, and said after.

The ledger is copied within the transaction that changes it, so that nobody writes in between; an upgrade that fails
leaves neither a changed ledger nor a copy. Copies lie in a place of their own beside the ledger, which has a list as
every place has: they are listed, looked into and put back as backups are, and older ones go by the same rule.
"""

from __future__ import annotations

from shopledger.store.backups.before_upgrades import Keeping
from shopledger.store.migrate import bring_to
from shopledger.store.places import place_of
from shopledger.store.revision import Upgrade, Upgrading


def bring_up_to_date(url: str, found: str, upgrading: Upgrading) -> None:
    """Bring a ledger from a known state to this program's; when anything fails, it is as it was.

    Raises UpgradeFailedError, or what copying raises.
    """
    upgrade = Upgrade(place_of(url), found)
    upgrading.told(upgrade)
    with Keeping(url, found, upgrading.now) as keeping:
        bring_to(url, upgrade.place, before=keeping.copy)
    cleared = keeping.clear() if keeping.kept else ()
    upgrading.told(Upgrade(upgrade.place, found, keeping.kept, cleared, done=True))
