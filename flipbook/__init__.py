"""flipbook: a plain-file logbook and receipt ledger for people who refinish furniture and sell it."""

__version__ = "0.3.0"
