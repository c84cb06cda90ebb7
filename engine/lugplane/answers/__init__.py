"""What the tool answers, as plain data that serialises to documented JSON."""
