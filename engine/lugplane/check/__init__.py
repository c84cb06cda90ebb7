"""Facts looked at as a colleague would before taking them in: can that be, and who says so?

Nothing here is in the way of an answer: what a schema or a reference makes wrong is refused in
`facts` already, and what is only unlikely is told by `lugplane facts check` alone.
"""
