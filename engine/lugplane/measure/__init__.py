"""Pure functions, one module a concern: numbers in, numbers out; no verdict, no threshold."""
