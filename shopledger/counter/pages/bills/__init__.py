"""Suppliers and their bills: recorded line by line, paid, changed, sent back."""
