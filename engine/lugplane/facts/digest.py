"""The digest that contents are known by."""

from __future__ import annotations

try:  # the module behind `hashlib`, which loads a whole library of other digests besides
    from _blake2 import blake2b
except ImportError:
    from hashlib import blake2b


def digest(content: bytes) -> str:
    """128 bits in 32 letters, so that no two contents share one."""
    return blake2b(content, digest_size=16).hexdigest()
