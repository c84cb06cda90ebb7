"""Whose a fact is that is not of a sheet's own setup, as said before its path."""

STOCK, OTHER_AXLE, OTHER_STOCK = "stock:", "other:", "other-stock:"
ROLES = (STOCK, OTHER_AXLE, OTHER_STOCK)
