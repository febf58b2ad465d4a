"""Tables on the terminal whose figures are never cut short, however narrow it is."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from rich import box
from rich.console import Console, ConsoleOptions, RenderResult
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

__all__ = ["columns"]

BETWEEN = 3
"""Between columns: two spaces and where a line would stand."""
CLOSER = 2
EDGES = 2
"""What a table takes to the left and to the right of its columns, where there is room."""


def columns(*heads: str, left: Collection[str] = ()) -> Table:
    """Return a table to fill: columns of figures, and those of words to the left."""
    made = _Figures(box=box.SIMPLE_HEAD, pad_edge=False)
    for head in heads:
        made.add_column(head, justify="left" if head in left else "right")
    return made


class _Figures(Table):
    """A table that drops its empty columns, or tells its rows one by one, where else its figures would be cut."""

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        cells = [[_plain(cell) for cell in column.cells] for column in self.columns]
        heads = [_plain(column.header) for column in self.columns]
        filled = [k for k, own in enumerate(cells) if any(own)]
        for some, between, edges in ((list(range(len(heads))), BETWEEN, EDGES), (filled, CLOSER, 0)):
            room = options.max_width - between * (len(some) - 1) - edges
            widths = _widths([[heads[k], *cells[k]] for k in some], room)
            if widths is None:
                continue
            spread = between == BETWEEN
            table = Table(
                box=box.SIMPLE_HEAD if spread else None,
                pad_edge=False,
                padding=(0, 1 if spread else CLOSER, 0, int(spread)),
            )
            for k, width in zip(some, widths, strict=True):
                table.add_column(heads[k], justify=self.columns[k].justify, width=width)
            for row in zip(*(self.columns[k].cells for k in some), strict=True):
                table.add_row(*row)
            yield table if spread else Padding(table, (1, 0))
            return
        yield ""
        for row in zip(*cells, strict=True):
            told = [" ".join(f"{head} {cell}".split()) for head, cell in zip(heads, row, strict=True) if cell]
            yield from _lines(told, options.max_width)
            yield ""


def _widths(columns: Sequence[Sequence[str]], room: int) -> list[int] | None:
    """Return how wide columns are that share so much room; None where it is less than their longest words take."""
    widths = [max(map(_longest_word, cells), default=0) for cells in columns]
    left = room - sum(widths)
    if left < 0:
        return None
    wanted = [max((len(line) for cell in cells for line in cell.split("\n")), default=0) for cells in columns]
    # Those that want least get all they want first.
    for done, k in enumerate(sorted(range(len(columns)), key=lambda k: wanted[k] - widths[k])):
        more = min(wanted[k] - widths[k], left // (len(columns) - done))
        widths[k] += more
        left -= more
    return widths


def _lines(told: Sequence[str], width: int) -> Iterator[Text]:
    """Yield lines of what is told, each on one line where it is no longer than that."""
    line = ""
    for one in told:
        joined = f"{line}   {one}" if line else one
        if line and len(joined) > width:
            yield Text(line)
            joined = one
        line = joined
    if line:
        yield Text(line)


def _plain(cell: object) -> str:
    return cell.plain if isinstance(cell, Text) else str(cell)


def _longest_word(words: str) -> int:
    return max(map(len, words.replace("\n", " ").split(" ")), default=0)
