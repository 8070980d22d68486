"""Sheets for others: a month's workbook for the tax preparer, and the same rows as plain CSV."""
