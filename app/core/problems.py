"""What the reckoning says when it is asked the impossible."""


class Problem(ValueError):
    """Input that cannot be true, named by field, with the way out in the message.

    Parameters
    ----------
    message : str
        What was seen and what to do instead, in plain words.
    field : str
        The input's name, as the caller gave it.
    """

    def __init__(self, message: str, field: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.field = field
