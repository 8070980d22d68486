"""Pictures drawn on a page as vector graphics, made of numbers alone; each says in words what it shows."""
