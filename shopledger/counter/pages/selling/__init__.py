"""Selling: whose, what, checked and priced while it is typed, looked over, recorded once."""
