"""Copies of the ledger: made while others write, checked, locked, listed where they lie, and put back."""
