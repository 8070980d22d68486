"""What people type, read the same way at the terminal and in the page: days, numbers, words of a list, goods."""
