"""Facts: read strictly, checked against their schemas, resolved and given as typed records."""
