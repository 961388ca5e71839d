"""casewright works out a one-off cabinet round bought electronics and writes its bench papers."""

__version__ = "0.1.0"
