"""An entry from the terminal: what was said, asked for and brought along, written only if the shop stands it."""
