"""The command line: it asks, shows and writes; it computes nothing."""
