"""Control cable routing from tape-measure points."""
