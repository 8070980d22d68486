"""Amounts of money and percentages: exact, in whole cents and whole millionths, shared out without losing a cent."""
