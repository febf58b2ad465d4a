"""The maker's own memory: materials added, benders, stock owned, test bends, and the log of bends measured."""
