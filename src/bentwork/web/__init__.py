"""The browser's side of the program: a server on this machine that shows what the other packages work out."""
