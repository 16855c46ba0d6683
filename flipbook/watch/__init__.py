"""Compiling on save: what was saved, what was made again, and the pages shown on this machine."""
