"""Pairs of parts that meet: pair checks over sorted windows, and the candidates of an axle."""
