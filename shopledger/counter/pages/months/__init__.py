"""Months and years: what they came to, closed and opened again, and written out for the tax preparer."""
