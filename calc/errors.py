"""Errors that name a field, so that a reader knows where, why and what to enter."""


class FieldProblem(ValueError):
    """One input that cannot be used.

    Parameters
    ----------
    field : str
        Name of the field, as in the form, the address and the command line.
    text : str
        What is wrong and what to enter instead, in plain words.
    """

    def __init__(self, field, text):
        super().__init__(f"{field}: {text}")
        self.field = field
        self.text = text


class InputProblems(ValueError):
    """Every input of one request that cannot be used, all at once.

    Parameters
    ----------
    problems : list of FieldProblem
        In the order of the form.
    """

    def __init__(self, problems):
        super().__init__("; ".join(str(problem) for problem in problems))
        self.problems = tuple(problems)
