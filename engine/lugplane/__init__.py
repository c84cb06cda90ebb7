"""Lugplane: will these used brake parts fit this car, and what does it take?"""

__version__ = "0.1.0"
