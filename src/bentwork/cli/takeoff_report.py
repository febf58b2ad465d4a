"""What was found in a model as one HTML page: a line a solid, with its outline."""

from __future__ import annotations

from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from bentwork.cli.say_takeoff import remarks, section_words, summary

if TYPE_CHECKING:
    from bentwork.takeoff.bar import Bar, Solid, TakeOff
    from bentwork.units import Ruler

__all__ = ["report_bytes"]

_WIDE, _HIGH = 70.0, 40.0  # of an outline, mm

_STYLE = """
body { font: 16px/1.4 system-ui, sans-serif; margin: 1.5rem; color: #111; background: #fff; }
table { border-collapse: collapse; width: 100%; }
td td { white-space: nowrap; }
th, td { text-align: left; vertical-align: top; padding: .5rem .8rem; border-bottom: 1px solid #999; }
td.picture { width: 72mm; } td.picture svg { max-width: 100%; height: auto; }
table table { width: auto; } table table td, table table th { padding: .1rem .6rem .1rem 0; border: 0; }
thead th { font-weight: 700; }
@media (max-width: 700px) {
  td, th { display: block; border: 0; }
  tr { border-bottom: 1px solid #999; }
  thead { display: none; }
  table table td { display: table-cell; }
  table table tr { border: 0; }
  td.picture { width: auto; }
  td td { white-space: normal; }
}
@media print {
  body { margin: 0; font-size: 11px; }
  tr { break-inside: avoid; }
  td.picture { width: 50mm; }
}
"""


def report_bytes(result: TakeOff, ruler: Ruler) -> bytes:
    """Return the page; lengths as the ruler shows them."""
    rows = [_row(solid, bar, number, ruler) for solid in result.solids for number, bar in _bars(solid)]
    notes = "".join(f"<p>{escape(note)}</p>" for note in result.notes)
    page = (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(Path(result.source).name)}</title><style>{_STYLE}</style></head><body>"
        f"<h1>{escape(Path(result.source).name)}</h1><p>{escape(summary(result))}</p>{notes}"
        "<table><thead><tr><th>solid</th><th>outline</th><th>what it is</th><th>bends</th></tr></thead><tbody>"
        f"{''.join(rows)}</tbody></table></body></html>\n"
    )
    return page.encode("utf-8")


def _bars(solid: Solid) -> list[tuple[int, Bar | None]]:
    return list(enumerate(solid.bars, 1)) if solid.bars else [(1, None)]


def _row(solid: Solid, bar: Bar | None, number: int, ruler: Ruler) -> str:
    index = f"{solid.index}" if len(solid.bars) < 2 else f"{solid.index}.{number}"
    facts: list[str] = [solid.kind]
    if bar is not None:
        facts += [section_words(bar, ruler), ruler.length(bar.length)] if bar.section else [ruler.length(bar.length)]
    facts += remarks(solid, bar, ruler, first=number == 1)
    return (
        f"<tr><th>{index} {escape(solid.name)}</th><td class=picture>{_outline(bar) if bar else '–'}</td>"
        f"<td>{'<br>'.join(map(escape, facts))}</td><td>{_table(bar, ruler) if bar else ''}</td></tr>"
    )


def _table(bar: Bar, ruler: Ruler) -> str:
    table = bar.line.table
    rows = []
    for straight, bend in zip(table.straights, table.bends, strict=False):
        rows.append(f"<tr><td>straight</td><td>{escape(ruler.length(straight))}</td><td></td><td></td></tr>")
        rows.append(
            f"<tr><td>bend</td><td>radius {escape(ruler.length(bend.radius))}</td><td>{bend.angle:.2f}°</td>"
            f"<td>rotation {bend.rotation:.2f}°</td></tr>".replace("-", "−")
        )
    rows.append(f"<tr><td>straight</td><td>{escape(ruler.length(table.straights[-1]))}</td><td></td><td></td></tr>")
    return f"<table>{''.join(rows)}</table>"


def _outline(bar: Bar) -> str:
    """Return a bar as it is seen from the corner, as SVG; of lines without a section a thin one."""
    from bentwork.files.svg import svg_bytes
    from bentwork.sheets.outline import outline
    from bentwork.stock.section import Round

    section = bar.section or Round(max(bar.length / 200.0, 0.1))
    picture = outline(bar.line, section, "hard" if bar.way == "hard" else "easy", _WIDE, _HIGH)
    svg = svg_bytes(picture, "outline").decode("utf-8")
    return svg[svg.index("<svg") :]
