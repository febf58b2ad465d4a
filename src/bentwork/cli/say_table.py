"""Tables on the terminal whose figures are never cut short, however narrow it is."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from rich import box
from rich.console import Console, ConsoleOptions, RenderableType, RenderResult
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

__all__ = ["columns"]

BETWEEN = 3
"""Between columns: two spaces and where a line would stand."""
CLOSER, CLOSEST = 2, 1
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
        wanted = [max(map(_longest_line, (head, *own))) for head, own in zip(heads, cells, strict=True)]
        words = [max(map(_longest_word, (head, *own))) for head, own in zip(heads, cells, strict=True)]
        whole = [max([_longest_word(head), *map(_longest_line, own)]) for head, own in zip(heads, cells, strict=True)]
        every, filled = list(range(len(heads))), [k for k, own in enumerate(cells) if any(own)]
        layouts = ((every, BETWEEN, EDGES), (filled, CLOSER, 0), (filled, CLOSEST, 0))
        # As wide apart as goes without folding a cell; else as goes without cutting a word.
        for least in (whole, words):
            for some, between, edges in layouts:
                room = options.max_width - between * (len(some) - 1) - edges - sum(least[k] for k in some)
                if some and room >= 0:
                    yield self._laid_out(
                        some, _shared([least[k] for k in some], [wanted[k] for k in some], room), between
                    )
                    return
        yield ""
        for row in zip(*cells, strict=True):
            told = [" ".join(f"{head} {cell}".split()) for head, cell in zip(heads, row, strict=True) if cell]
            yield from _lines(told, options.max_width)
            yield ""

    def _laid_out(self, some: Sequence[int], widths: Sequence[int], between: int) -> RenderableType:
        """Return these columns, so wide and so far apart."""
        spread = between == BETWEEN
        padding = (0, 1, 0, 1) if spread else (0, between, 0, 0)
        table = Table(box=box.SIMPLE_HEAD if spread else None, pad_edge=False, padding=padding)
        for k, width in zip(some, widths, strict=True):
            table.add_column(self.columns[k].header, justify=self.columns[k].justify, width=width)
        for row in zip(*(self.columns[k].cells for k in some), strict=True):
            table.add_row(*row)
        return table if spread else Padding(table, (1, 0))


def _shared(least: Sequence[int], wanted: Sequence[int], room: int) -> list[int]:
    """Return how wide columns are that share what room is left over; those that want least get all they want first."""
    widths = list(least)
    for done, k in enumerate(sorted(range(len(widths)), key=lambda k: wanted[k] - widths[k])):
        more = min(wanted[k] - widths[k], room // (len(widths) - done))
        widths[k] += more
        room -= more
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


def _longest_line(words: str) -> int:
    return max(map(len, words.split("\n")))


def _longest_word(words: str) -> int:
    return max(map(len, words.replace("\n", " ").split(" ")), default=0)
