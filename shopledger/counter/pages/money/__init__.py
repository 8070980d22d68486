"""Money: what lies where and what is owed, what was spent, taken and moved, and what the bank says of it."""
