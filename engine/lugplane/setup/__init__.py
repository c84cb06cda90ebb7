"""One axle's chosen parts, and where they come to lie in the section frame."""
