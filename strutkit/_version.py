"""The one place where the version of the kit is written."""

__version__ = "0.1.0"
