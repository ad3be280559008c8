"""Glovebook: a still-house notebook and reckoner that works offline."""

__version__ = "0.1.0"
