"""The command line: thin, and quick to start."""
