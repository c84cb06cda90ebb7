"""The answers as text, Markdown and JSON. All wording lives here and in the rules' `say`."""
