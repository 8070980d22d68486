"""The ledger's database: SQLite in a file or PostgreSQL, opened, migrated, read and written in one place."""
