"""Bytes in, bytes out: one format a file."""
