"""Plots of the whole car: axes, lines and bands, drawn on the scene of the section drawing."""
