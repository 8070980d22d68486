"""How a SQLite database is known among files, and what lies beside one."""

from __future__ import annotations

from typing import Final

FIRST_BYTES: Final = b"SQLite format 3\0"
"""How every SQLite file begins (sqlite.org/fileformat.html, section 1.3)."""
LOGS: Final = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file while it is open, or after a kill: the endings behind the file's own name."""
