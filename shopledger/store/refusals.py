"""What the store refuses: each error says what was found, and what to do."""

from __future__ import annotations

from shopledger.errors import StoreError
from shopledger.installed import ExtraMissingError, update_words
from shopledger.store.revision import HEAD_REVISION, WRITTEN_BY


class LedgerMissingError(StoreError, LookupError):
    """There is no ledger where one was looked for."""

    place: str
    sentence = "there is no ledger at {place}. Run 'shopledger setup' to begin one, or name yours with '--ledger'."


class LedgerExistsError(StoreError):
    """A new ledger was to be made where something is already."""

    place: str
    sentence = "{place} exists already and was not touched. Name another place with '--ledger', or use that one."


class LedgerNotMadeError(StoreError):
    """A new ledger cannot be made where it was asked for."""

    place: str
    reason: str
    sentence = "the ledger {place} cannot be made: {reason}. Name a folder that you may write to with '--ledger'."


class NotALedgerError(StoreError):
    """Something lies there that is no ledger of this program."""

    place: str
    reason: str
    sentence = "{place} is no shopledger ledger: {reason}. Name the right one with '--ledger'."


class LedgerAddressError(StoreError, ValueError):
    """What was given names no kind of ledger that is known."""

    given: str
    reason: str
    sentence = (
        "'{given}' names no ledger: {reason}. Give a file's path, sqlite:///PATH, "
        "or postgresql+psycopg://USER@HOST/DATABASE."
    )


class SchemaAheadError(StoreError):
    """The ledger was written by a newer program than this one."""

    place: str
    found: str
    """The state of its tables, which this program does not know."""
    writer: str = ""
    """The version of the program that wrote it last, where the ledger says."""
    sentence = (
        "the ledger {place} was written by {newer} (its tables are at {found}); this is {program}, which is older and "
        "would misread it. Nothing was changed. Install {newer} ({words}), or go back: put a copy from before the "
        "upgrade in its place with 'shopledger backup restore FILE'."
    )

    @property
    def program(self) -> str:
        """What this program calls itself."""
        return WRITTEN_BY

    @property
    def words(self) -> str:
        """What to type to install another version, by how this one was installed."""
        return update_words()

    @property
    def newer(self) -> str:
        """What to call the program that is needed."""
        return f"shopledger {self.writer}" if self.writer else "a newer shopledger"


class TablesMovedError(StoreError):
    """Another program changed the ledger's tables while this one had it open."""

    place: str
    found: str
    writer: str = ""
    sentence = (
        "the ledger {place} was brought to other tables ({found}) by shopledger {other} while this command had it "
        "open; this is {program}. Nothing was stored. Type the command again, with the newer program."
    )

    @property
    def program(self) -> str:
        """What this program calls itself, and the tables that it knows."""
        return f"{WRITTEN_BY} and knows {HEAD_REVISION}"

    @property
    def other(self) -> str:
        """The version of the program that did it."""
        return self.writer or "of another version"


class UpgradeFailedError(StoreError):
    """Bringing an older ledger up to date did not work out; it is as it was."""

    place: str
    reason: str
    sentence = "the ledger {place} could not be brought up to date and is as it was: {reason}."


class BackupFailedError(StoreError):
    """A copy of the ledger did not pass its check, so it was not kept."""

    place: str
    reason: str
    sentence = "the copy of {place} failed its check and was not kept: {reason}. Look at the disk first."


class CopyUnreadableError(StoreError):
    """A copy cannot be read at all."""

    place: str
    reason: str
    sentence = "{place} cannot be read: {reason}. Look at the medium, and try another copy."


class UnsettledCopyError(StoreError):
    """What was named as a copy has a log beside it, with commits that are not in it."""

    place: str
    log: str
    sentence = (
        "{place} is no finished copy: its last changes stand in {log} beside it. Name a file that 'shopledger backup "
        "make' made."
    )


class CopyLockedError(StoreError):
    """An encrypted copy does not open."""

    place: str
    reason: str
    sentence = "{place} does not open: {reason}. It was damaged or cut off, or is locked with another key."


class CopyChangedError(StoreError):
    """A copy is no longer what was written down when it was made."""

    place: str
    reason: str
    sentence = "{place}: {reason}. Do not rely on it; make a new copy on a sound medium."


class BackupIncompleteError(StoreError):
    """Some place got no copy."""

    places: tuple[str, ...]

    def __str__(self) -> str:
        return f"no copy was made in {' or '.join(self.places)}; what stands above says why."


class CopiesWrongError(StoreError):
    """Some of the copies that were looked into are not sound."""

    count: int
    sentence = "not sound: {count} of the copies. Do not rely on them; make a new one with 'shopledger backup make'."


class RestoreFailedError(StoreError):
    """A copy could not be put back; the ledger is as it was."""

    place: str
    reason: str
    sentence = "the copy could not be put into {place}, which is as it was: {reason}."


class RestoreUnfinishedError(StoreError):
    """A copy stands in the ledger's place, and what follows a restore was not done."""

    place: str
    reason: str
    sentence = (
        "the copy was stored in {place}, whole, and then the disk failed: {reason}. Counters were not raised and "
        "nobody was erased again: look at the disk, and restore the same copy once more."
    )


class EncryptExtraMissingError(ExtraMissingError, StoreError):
    """Copies are to be locked or opened, and what does it is not installed."""

    extra = "encrypt"
    needs = "encrypted copies need"
    otherwise = " A copy that anybody can read is made with --plain."


class PostgresExtraMissingError(ExtraMissingError, StoreError):
    """The ledger is on a server, and what speaks to servers is not installed."""

    extra = "postgres"
    needs = "a ledger on a PostgreSQL server needs"


class NoKeyError(StoreError, ValueError):
    """What was typed is no key."""

    kind: str
    begins: str
    sentence = (
        "that is no {kind} key: one begins with {begins}, and each of its letters counts. Compare it with the paper, "
        "letter by letter."
    )


class KeyUnknownError(StoreError, LookupError):
    """Copies are not locked with that key."""

    public: str
    sentence = "copies are not locked with {public}. See the keys with 'shopledger backup key show'."


class NoPlaceError(StoreError):
    """A place for copies is not there."""

    place: str
    sentence = (
        "{place} is no place for copies, or is not there now: it has no list of copies. Plug the stick in or switch "
        "the other machine on; a new place is begun with 'shopledger backup place add'."
    )


class NoPlacesError(StoreError):
    """A copy is to be made, and nobody said where."""

    sentence = (
        "no place for copies is known. Name a folder with 'shopledger backup place add FOLDER', best one on a stick or "
        "on another machine, or give one with --into."
    )


class LedgerBusyError(StoreError):
    """Somebody else is writing, and did not finish in time."""

    sentence = "the ledger is busy: another command is writing to it. Nothing was stored; try again in a moment."


class OutcomeUnknownError(StoreError):
    """The connection broke at the very moment of storing, and nobody can be asked what became of it."""

    sentence = (
        "the connection to the ledger's database broke at the moment of storing, and it does not answer now. "
        "Once it does, look whether this was stored before you type it again."
    )


class DiskFullError(StoreError):
    """No room is left."""

    sentence = "the disk is full, so nothing was stored. Free some room and do it again."


class DiskFailedError(StoreError):
    """The disk failed while the ledger was read or written."""

    sentence = (
        "the disk failed while the ledger was read or written, and nothing was stored. Look at the disk and its cable, "
        "and copy the ledger elsewhere before you go on."
    )


class NotOpenedError(StoreError):
    """The system does not let the ledger's file, or what lies beside it, be opened."""

    sentence = (
        "the ledger's file cannot be opened, so nothing was stored. Look at the rights of the file and its folder, "
        "and close other programs if very many are open."
    )


class ConnectionLostError(StoreError):
    """The database server went away in the middle."""

    reason: str
    sentence = "the connection to the ledger's database was lost, and nothing was stored: {reason}. Do it again."


class ReadOnlyError(StoreError):
    """The database may not be written to."""

    sentence = "the ledger may only be read here, so nothing was stored. Look at the rights of its file and folder."


class DamagedError(StoreError):
    """The database says of itself that it is broken."""

    reason: str
    sentence = "the ledger's file is damaged ({reason}). Stop working with it and restore the last backup."


class UnreachableError(StoreError):
    """The database server does not answer, or does not let this user in."""

    reason: str
    sentence = "the ledger's database cannot be opened: {reason}. Check its name, the network and the password."


class RuleRefusedError(StoreError):
    """The database itself refuses what was to be stored."""

    reason: str
    sentence = "the ledger refused this and stored nothing: {reason}."


class MonthClosedError(StoreError):
    """Something was to be stored in a month that is closed."""

    month: str = ""

    def __str__(self) -> str:
        which = f"the month {self.month}" if self.month else "that month"
        reopen = f"'shopledger month reopen {self.month or 'MONTH'} --reason TEXT'"
        return f"{which} is closed, so nothing was stored. Take a day of an open month, or open it again with {reopen}."


class FileUnreadableError(StoreError):
    """A file that was to be kept cannot be read."""

    place: str
    reason: str
    sentence = "{place} cannot be kept: {reason}. Nothing was stored; name a file that can be read."


class FileErasedError(StoreError):
    """A file was to be kept whose bytes were kept before, and erased with whoever they told of."""

    name: str
    erased_on: str
    sentence = (
        "{name} cannot be kept: the same file was erased on {erased_on}, and stays erased. Nothing was stored; "
        "keep another scan of the paper."
    )


class FileNotKeptError(StoreError, LookupError):
    """No file with that hash is kept."""

    sha256: str
    sentence = "no file with the hash {sha256:.16} is kept with the ledger."


class FileChangedError(StoreError):
    """A kept file is gone, or is no longer what was kept."""

    name: str
    reason: str
    sentence = "the kept file {name}: {reason}. Restore the ledger from a backup that has it."


class DatabaseError(StoreError):
    """The database failed in a way that has no words of its own here."""

    reason: str
    sentence = "the ledger's database failed, and nothing was stored: {reason}."


class DuplicateError(StoreError):
    """The name is taken."""

    kind: str
    name: str
    sentence = "the {kind} '{name}' exists already. Choose another name, or change that one."


class NumberUnknownError(StoreError, LookupError):
    """Nothing in the ledger has that number."""

    kind: str
    number: int
    sentence = "there is no {kind} {number} in the ledger. Look the number up and type it again."


class AmbiguousError(StoreError, LookupError):
    """Several are meant by what was typed."""

    kind: str
    given: str
    found: tuple[tuple[int, str], ...]
    sentence = "'{given}' may mean more than one {kind}: {choices}. Type the number instead."

    @property
    def choices(self) -> str:
        """What was found, each with its number."""
        return ", ".join(f"{number} {name}" for number, name in self.found)


class PrecisionError(StoreError, ValueError):
    """A value has more decimals than the ledger keeps; it is never rounded without a word."""

    name: str
    value: float
    places: int
    sentence = "{name} is {value}; at most {places} decimals are kept. Round it and type it again."


class JournalBrokenError(StoreError):
    """An entry of the journal does not fit the chain: it was changed from outside."""

    number: int
    reason: str
    sentence = "journal entry {number} does not fit: {reason}. It was changed from outside; restore a backup."


class RecordsChangedError(StoreError):
    """A record is not what it was when it was sealed."""

    difference: str
    sentence = "the ledger was changed from outside: {difference}."


class WordingLostError(StoreError):
    """The wording that a receipt was first printed with is gone or was changed from outside."""

    sha256: str
    sentence = (
        "the wording {sha256:.16} that this receipt was printed with is not in the ledger as it was: "
        "the file was changed from outside. Restore a backup."
    )
