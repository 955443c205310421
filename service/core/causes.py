"""An error and what led to it."""


def with_causes(error: BaseException) -> list[BaseException]:
    """Return an error, what it was raised from or while handling, and so on to the first."""
    chain: list[BaseException] = []
    seen: BaseException | None = error
    while seen is not None and seen not in chain:
        chain.append(seen)
        seen = seen.__cause__ or seen.__context__
    return chain
