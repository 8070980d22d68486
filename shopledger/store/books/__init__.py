"""The books in the database: entries, stock, bills, money, closed months, and what is asked of months and years."""
