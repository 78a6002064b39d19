"""The benchmark: each row is a ratio to a floor measured in the same run, never a time.

A machine's speed cancels out of a ratio, so the rows mean the same on any machine.
To add a row, write a function in a file named rows_*.py in this folder:

    @row("a lot's sheet", against="the same bytes from a view without a query", aim=4, why="")
    def lot_sheet() -> Iterator[Pair]:
        ...make what both need...
        yield Pair(floor=lambda: ..., subject=lambda: ...)
        ...take it down again...

`aim` is the greatest ratio wished for; `why` says, once a row is out of reach, what it is
that costs. What the two do must be the same work: say in the docstring what it is.
"""
