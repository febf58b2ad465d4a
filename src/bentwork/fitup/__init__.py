"""Will it meet? How errors travel along a bar, what is to be done about them, and how sure that is."""
