"""The world's errors: a sentence for the maker, never a trace."""


class ShopError(Exception):
    """Something can't be done; its text says what happened, what was kept and what to do."""


class Refusal(ShopError):
    """A change that makes no sense, such as an end before its start. Nothing was changed."""
