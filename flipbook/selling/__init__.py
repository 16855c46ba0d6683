"""Asking prices, how they come down, and what a sale leaves."""
