"""The shop itself: who it is, what it has set, what it sells on which terms, its papers' words, its records."""
