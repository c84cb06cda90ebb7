"""New records to fill in, derived from the schemas, and checked before they are written."""
