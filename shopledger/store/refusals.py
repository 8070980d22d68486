"""What the store refuses: each error says what was found, and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from importlib.metadata import PackageNotFoundError, version

from shopledger.errors import StoreError


class LedgerMissingError(StoreError, LookupError):
    """There is no ledger where one was looked for."""

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place

    def __str__(self) -> str:
        """Say where, and how one is made."""
        return (
            f"there is no ledger at {self.place}. Run 'shopledger setup' to begin one, or name yours with '--ledger'."
        )


class LedgerExistsError(StoreError):
    """A new ledger was to be made where something is already."""

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place

    def __str__(self) -> str:
        """Say where, and that nothing was touched."""
        return f"{self.place} exists already and was not touched. Name another place with '--ledger', or use that one."


class NotALedgerError(StoreError):
    """Something lies there that is no ledger of this program."""

    def __init__(self, place: str, reason: str) -> None:
        super().__init__(place, reason)
        self.place = place
        self.reason = reason

    def __str__(self) -> str:
        """Say what is wrong with it."""
        return f"{self.place} is no shopledger ledger: {self.reason}. Name the right one with '--ledger'."


class LedgerAddressError(StoreError, ValueError):
    """What was given names no kind of ledger that is known."""

    def __init__(self, given: str, reason: str) -> None:
        super().__init__(given, reason)
        self.given = given
        self.reason = reason

    def __str__(self) -> str:
        """Say what is allowed."""
        return (
            f"'{self.given}' names no ledger: {self.reason}. Give a file's path, sqlite:///PATH, "
            "or postgresql+psycopg://USER@HOST/DATABASE."
        )


class SchemaAheadError(StoreError):
    """The ledger was written by a newer program than this one."""

    def __init__(self, place: str, found: str) -> None:
        super().__init__(place, found)
        self.place = place
        self.found = found

    def __str__(self) -> str:
        """Say which program is too old, and that nothing was touched."""
        return (
            f"the ledger {self.place} was written by a newer shopledger (it is at {self.found}); this is version "
            f"{_program_version()}, which must be updated first. Nothing was changed."
        )


class UpgradeFailedError(StoreError):
    """Bringing an older ledger up to date did not work out; it is as it was."""

    def __init__(self, place: str, reason: str) -> None:
        super().__init__(place, reason)
        self.place = place
        self.reason = reason

    def __str__(self) -> str:
        """Say why, and that the ledger is as it was."""
        return f"the ledger {self.place} could not be brought up to date and is as it was: {self.reason}."


class BackupFailedError(StoreError):
    """A copy of the ledger did not pass its check, so it was not kept."""

    def __init__(self, place: str, reason: str) -> None:
        super().__init__(place, reason)
        self.place = place
        self.reason = reason

    def __str__(self) -> str:
        """Say what was wrong with the copy."""
        return f"the copy of {self.place} failed its check and was not kept: {self.reason}. Look at the disk first."


class LedgerBusyError(StoreError):
    """Somebody else is writing, and did not finish in time."""

    def __str__(self) -> str:
        """Say what to do."""
        return "the ledger is busy: another command is writing to it. Nothing was stored; try again in a moment."


class DiskFullError(StoreError):
    """No room is left."""

    def __str__(self) -> str:
        """Say what to do."""
        return "the disk is full, so nothing was stored. Free some room and do it again."


class ReadOnlyError(StoreError):
    """The database may not be written to."""

    def __str__(self) -> str:
        """Say what to do."""
        return "the ledger may only be read here, so nothing was stored. Look at the rights of its file and folder."


class DamagedError(StoreError):
    """The database says of itself that it is broken."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        """Say what to do."""
        return f"the ledger's file is damaged ({self.reason}). Stop working with it and restore the last backup."


class UnreachableError(StoreError):
    """The database server does not answer, or does not let this user in."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        """Say what the server, or the way to it, says."""
        return f"the ledger's database cannot be opened: {self.reason}. Check its name, the network and the password."


class RuleRefusedError(StoreError):
    """The database itself refuses what was to be stored."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        """Name the rule that held."""
        return f"the ledger refused this and stored nothing: {self.reason}."


class MonthClosedError(StoreError):
    """Something was to be stored in a month that is closed."""

    def __init__(self, month: str = "") -> None:
        super().__init__(month)
        self.month = month

    def __str__(self) -> str:
        """Say which month if it is known, and the two ways out."""
        which = f"the month {self.month}" if self.month else "that month"
        reopen = f"'shopledger month reopen {self.month or 'MONTH'} --reason TEXT'"
        return f"{which} is closed, so nothing was stored. Take a day of an open month, or open it again with {reopen}."


class FileUnreadableError(StoreError):
    """A file that was to be kept cannot be read."""

    def __init__(self, place: str, reason: str) -> None:
        super().__init__(place, reason)
        self.place = place
        self.reason = reason

    def __str__(self) -> str:
        """Say which file and why."""
        return f"{self.place} cannot be kept: {self.reason}. Nothing was stored; name a file that can be read."


class FileNotKeptError(StoreError, LookupError):
    """No file with that hash is kept."""

    def __init__(self, sha256: str) -> None:
        super().__init__(sha256)
        self.sha256 = sha256

    def __str__(self) -> str:
        """Name the hash."""
        return f"no file with the hash {self.sha256[:16]} is kept with the ledger."


class FileChangedError(StoreError):
    """A kept file is gone, or is no longer what was kept."""

    def __init__(self, name: str, place: str, reason: str) -> None:
        super().__init__(name, place, reason)
        self.name = name
        self.place = place
        self.reason = reason

    def __str__(self) -> str:
        """Say where it belongs and what brings it back."""
        return f"the kept file {self.name} ({self.place}): {self.reason}. Put it back from a backup."


class DatabaseError(StoreError):
    """The database failed in a way that has no words of its own here."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason

    def __str__(self) -> str:
        """Pass on what it said."""
        return f"the ledger's database failed, and nothing was stored: {self.reason}."


class DuplicateError(StoreError):
    """The name is taken."""

    def __init__(self, kind: str, name: str) -> None:
        super().__init__(kind, name)
        self.kind = kind
        self.name = name

    def __str__(self) -> str:
        """Say what to do."""
        return f"the {self.kind} '{self.name}' exists already. Choose another name, or change that one."


class NumberUnknownError(StoreError, LookupError):
    """Nothing in the ledger has that number."""

    def __init__(self, kind: str, number: int) -> None:
        super().__init__(kind, number)
        self.kind = kind
        self.number = number

    def __str__(self) -> str:
        """Say which number is unknown."""
        return f"there is no {self.kind} {self.number} in the ledger. Look the number up and type it again."


class AmbiguousError(StoreError, LookupError):
    """Several are meant by what was typed."""

    def __init__(self, kind: str, given: str, found: Sequence[tuple[int, str]]) -> None:
        super().__init__(kind, given, tuple(found))
        self.kind = kind
        self.given = given
        self.found = tuple(found)

    def __str__(self) -> str:
        """List them with their numbers."""
        listed = ", ".join(f"{number} {name}" for number, name in self.found)
        return f"'{self.given}' may mean more than one {self.kind}: {listed}. Type the number instead."


class PrecisionError(StoreError, ValueError):
    """A value has more decimals than the ledger keeps; it is never rounded without a word."""

    def __init__(self, name: str, value: float, places: int) -> None:
        super().__init__(name, value, places)
        self.name = name
        self.value = value
        self.places = places

    def __str__(self) -> str:
        """Say how many decimals are kept."""
        return f"{self.name} is {self.value}; at most {self.places} decimals are kept. Round it and type it again."


class JournalBrokenError(StoreError):
    """An entry of the journal does not fit the chain: it was changed from outside."""

    def __init__(self, number: int, reason: str) -> None:
        super().__init__(number, reason)
        self.number = number
        self.reason = reason

    def __str__(self) -> str:
        """Name the first entry that does not fit."""
        return (
            f"journal entry {self.number} does not fit: {self.reason}. It was changed from outside; restore a backup."
        )


def _program_version() -> str:
    try:
        return version("shopledger")
    except PackageNotFoundError:
        return "unknown"


class WordingLostError(StoreError):
    """The wording that a receipt was first printed with is gone or was changed from outside."""

    def __init__(self, sha256: str) -> None:
        super().__init__(sha256)
        self.sha256 = sha256

    def __str__(self) -> str:
        """Say what is lost and what brings it back."""
        return (
            f"the wording {self.sha256[:16]} that this receipt was printed with is not in the ledger as it was: "
            "the file was changed from outside. Restore a backup."
        )
