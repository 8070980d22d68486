"""Keeping the books: goods in and out, bills, money, closing, and handing months and years over."""
