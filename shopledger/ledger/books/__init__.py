"""The books: accounts and entries, what goods, bills and money post, closed months, what months and years come to."""
