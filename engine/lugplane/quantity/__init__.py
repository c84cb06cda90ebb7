"""Numbers with their doubt: parse them, bound them, judge them."""
