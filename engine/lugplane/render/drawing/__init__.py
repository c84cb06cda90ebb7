"""Drawings true to scale, from the same placed parts that the checks judge."""
