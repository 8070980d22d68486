"""Forms: what is asked, how it is read, what is said about it, and what becomes of it once it is sent."""
