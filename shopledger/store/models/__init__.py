"""The ledger's tables as typed declarative models: what a new migration is compared with.

Rows are read and written by name through SQLAlchemy Core (`store/transaction.py`), so that no command waits for the
mapper; these classes are the one statement of the schema, held to the migrations and to both databases by tests.
"""
