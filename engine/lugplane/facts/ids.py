"""What the id of a record tells by itself."""


def family(id_: str) -> str:
    """The family's id of a member (`tovan-q4` of `tovan-q4/41`), or the id itself."""
    return id_.split("/", 1)[0]
