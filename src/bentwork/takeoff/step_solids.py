"""Solids of plain faces out of the text of a STEP file, without the CAD kernel.

Starting the kernel and letting it build a bar takes several times as long as all that is asked of the bar afterwards.
What this takes for granted of the text, or of a solid, is checked; where it is otherwise the kernel reads the solid.
Entities and their attributes: ISO 10303-42 (geometric and topological representation).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi

import numpy as np

from bentwork.takeoff.edge_samples import elliptic, spline_edges
from bentwork.takeoff.edges import Edge, Edges, Floats, crossed, sampled_arcs
from bentwork.takeoff.face_bounds import rectangles
from bentwork.takeoff.face_table import CONE, CYLINDER, PLANE, TORUS, FaceTable, right_ways, set_sides
from bentwork.takeoff.splines import Splines
from bentwork.takeoff.step_splines import AT_END, knotted, span_of
from bentwork.takeoff.step_statements import Chosen, OddError, Places, Shells, Statements
from bentwork.takeoff.step_units import units_of
from bentwork.takeoff.step_words import Word, words_of
from bentwork.takeoff.volume import volume_of
from bentwork.takeoff.written import Written, is_closed

__all__ = ["plain_solids"]

TURN = 2.0 * pi
NEAR = 1e-6
"""Ends of an edge that is no full turn are further apart, rad or mm."""
_ON_SURFACE = (Word.SURFACE_CURVE, Word.SEAM_CURVE, Word.INTERSECTION_CURVE)
_REALS = {
    Word.PLANE: 0,
    Word.CYLINDRICAL_SURFACE: 1,
    Word.CONICAL_SURFACE: 2,
    Word.TOROIDAL_SURFACE: 2,
    Word.CIRCLE: 1,
    Word.ELLIPSE: 2,
}
_KINDS = {
    Word.PLANE: PLANE,
    Word.CYLINDRICAL_SURFACE: CYLINDER,
    Word.CONICAL_SURFACE: CONE,
    Word.TOROIDAL_SURFACE: TORUS,
}
_CLOSE, _STOP, _TRUE, _FALSE, _BLANK = b").TF "


@dataclass(frozen=True, slots=True, eq=False)
class _Rims:
    """What closes some solids: faces one after the other, and the edges round them.

    Args:
        good: solids of which nothing is missing, (n,).
        shells: how many faces each shell has, one solid after the other.
        of_shell: which solid each is of.
        faces: statements.
        of_face: which solid each is of.
        flipped: faces turned over.
        surfaces: of the faces.
        edges: statements, of one solid after the other, as they are first come to.
        of_edge: which solid each is of.
        rims: places in ``edges``, of one face after the other.
        back: which of these the face runs against.
        starts: where the rim of each face begins, and where the last one ends.
    """

    good: Chosen
    shells: Places
    of_shell: Places
    faces: Places
    of_face: Places
    flipped: Chosen
    surfaces: Places
    edges: Places
    of_edge: Places
    rims: Places
    back: Chosen
    starts: Places


def plain_solids(statements: Statements, shells: Shells) -> Iterator[Written | None]:
    """Yield the solids within shells, one by one; None for each that the CAD kernel has to read."""
    try:
        reader = _Reader(statements)
        own = reader.rims(shells)
        chosen = own.good.nonzero()[0]
        if not own.good.all():
            own = reader.rims(shells.of(chosen))
        made = iter(reader.made(own) if len(chosen) else [])
    except (OddError, LookupError, ValueError):
        chosen, made = np.zeros(0, dtype=np.intp), iter([])
    good = set(chosen.tolist())
    for k in range(len(shells)):
        yield next(made) if k in good else None


class _Reader:
    """Reads the geometry of a file's statements."""

    def __init__(self, statements: Statements) -> None:
        self.statements = statements
        self.mm, self.radians = units_of(statements)
        self.letters = np.frombuffer(statements.text, np.uint8)
        self.kinds = words_of(statements, self.letters)
        self.opens, self.closes = ((self.letters == letter).nonzero()[0] for letter in b"()")
        self.opens, self.closes = np.append(self.opens, len(self.letters)), np.append(self.closes, len(self.letters))

    def rims(self, shells: Shells) -> _Rims:
        """Return what closes the solids within some shells."""
        said = self.statements
        good = np.ones(len(shells), dtype=bool)

        def rule(whose: Places, right: Chosen) -> Chosen:
            good[whose[~right]] = False
            return good[whose]

        many = said.counts(shells.places)
        faces, of_face, turned = said.from_(shells.places), shells.whose.repeat(many), shells.turned.repeat(many)
        same, told = self._flags(faces)
        counts = said.counts(faces)
        kept = rule(of_face, (self.kinds[faces] == Word.ADVANCED_FACE) & told & (counts > 1))
        faces, of_face, counts, turned = faces[kept], of_face[kept], counts[kept], turned[kept]
        flipped = same[kept] == turned
        lasts = counts.cumsum() - 1
        under = said.from_(faces)
        surfaces = under[lasts]
        rule(of_face, np.isin(self.kinds[surfaces], list(_KINDS)))
        bounds, face = np.delete(under, lasts), np.arange(len(faces)).repeat(counts - 1)
        same, told = self._flags(bounds)
        kept = rule(
            of_face[face],
            np.isin(self.kinds[bounds], (Word.FACE_BOUND, Word.FACE_OUTER_BOUND)) & told & (said.counts(bounds) == 1),
        )
        bounds, face, back = bounds[kept], face[kept], ~same[kept]
        loops = said.from_(bounds)
        kept = rule(of_face[face], self.kinds[loops] == Word.EDGE_LOOP)
        loops, face, back = loops[kept], face[kept], back[kept]
        each = said.counts(loops)
        oriented, face, back = said.from_(loops), face.repeat(each), back.repeat(each)
        same, told = self._flags(oriented)
        kept = rule(of_face[face], (self.kinds[oriented] == Word.ORIENTED_EDGE) & told & (said.counts(oriented) == 1))
        oriented, face, back = oriented[kept], face[kept], back[kept] != ~same[kept]
        curves = said.from_(oriented)
        same, told = self._flags(curves)
        rule(of_face[face], (self.kinds[curves] == Word.EDGE_CURVE) & told & (said.counts(curves) == 3))
        back = (back == same) != turned[face]
        # Each edge counts once in a solid, where it is first come to.
        own = of_face[face] * np.intp(len(said.numbers)) + curves
        keys, firsts, which = np.unique(own, return_index=True, return_inverse=True)
        order = firsts.argsort()
        rank = np.empty(len(order), dtype=np.intp)
        rank[order] = np.arange(len(order))
        of_edge, edges = np.divmod(keys[order], np.intp(len(said.numbers)))
        starts = np.concatenate(((0,), np.bincount(face, minlength=len(faces)).cumsum()))
        return _Rims(
            good, many, shells.whose, faces, of_face, flipped, surfaces, edges, of_edge, rank[which], back, starts
        )

    def made(self, own: _Rims) -> Iterator[Written | None]:
        """Return solids of which all that closes them is there, one by one."""
        edges, whole = self._edges(own)
        kinds, rows = self._surfaces(own.surfaces)
        ways = np.where(own.back, -1, 1)
        rows[:, 14:18], areas = rectangles(kinds, rows, own.rims, ways, own.starts, edges)
        rows[kinds == PLANE, 14:18] = 0.0
        whole[own.of_face[np.isnan(rows[:, 14])]] = False
        set_sides(kinds, rows, own.flipped)
        ways = right_ways(ways, own.starts, areas, own.flipped)
        faces = FaceTable(kinds, rows, own.rims, ways, own.starts)
        shells = np.split(own.shells, own.of_shell.searchsorted(np.arange(1, len(own.good))))
        solids = zip(whole.tolist(), shells, _faces_by_solid(faces, own), _edges_by_solid(edges, own), strict=True)
        return (_right(some, its, those) if sound else None for sound, those, some, its in solids)

    def _flags(self, places: Places) -> tuple[Chosen, Chosen]:
        """Return whether statements end with true, and whether they end with either."""
        at = self.statements.ends[places + 1] - 2
        closed = self._over(at, -1)
        at = self._over(closed - 1, -1)
        last, flag, first = (self.letters[at - k] for k in range(3))
        told = (
            (self.letters[closed] == _CLOSE) & (last == _STOP) & (first == _STOP) & ((flag == _TRUE) | (flag == _FALSE))
        )
        return flag == _TRUE, told

    def _over(self, at: Places, step: int) -> Places:
        """Return places after blanks, or before them."""
        while (blank := self.letters[at] <= _BLANK).any():
            at = at + step * blank
        return at

    def _firsts(self, places: Places, count: int, *kinds: int) -> Places:
        """Return what statements of some kinds refer to, which is so many others, (n, count)."""
        said = self.statements
        if not (np.isin(self.kinds[places], kinds).all() and (said.counts(places) == count).all()):
            raise OddError
        found: Places = said.targets[said.starts[places][:, None] + np.arange(count)]
        return found

    def _points(self, places: Places) -> Floats:
        """Return points, mm, (n, 3)."""
        return self.mm * self._triples(places, Word.CARTESIAN_POINT)

    def _numbers(self, begins: Places, ends: Places, count: int) -> Floats:
        """Return numbers that stand between places of the text, (n, count)."""
        text = self.statements.text
        listed = b",".join([text[a:b] for a, b in zip(begins.tolist(), ends.tolist(), strict=True)])
        found = np.fromstring(listed.decode("ascii"), sep=",") if listed else np.zeros(0)
        if len(found) != count * len(begins):
            raise OddError
        return found.reshape(-1, count)

    def _triples(self, places: Places, kind: int) -> Floats:
        """Return points or directions, (n, 3)."""
        unique, which = np.unique(places, return_inverse=True)
        if not (self.kinds[unique] == kind).all():
            raise OddError
        begins = self.opens[self.opens.searchsorted(self.statements.ends[unique + 1]) - 1]
        return self._numbers(begins + 1, self.closes[self.closes.searchsorted(begins)], 3)[which]

    def _reals(self, places: Places, count: int) -> Floats:
        """Return the numbers that statements have after what they refer to, (n, count)."""
        said = self.statements
        begins = self._over(said.afters[said.starts[places + 1] - 1], 1)
        return self._numbers(begins + 1, self.closes[self.closes.searchsorted(begins)], count)

    def _frames(self, places: Places) -> Floats:
        """Return origin, axis, x and y of placements, (n, 12)."""
        unique, which = np.unique(places, return_inverse=True)
        origin, axis, x = self._firsts(unique, 3, Word.AXIS2_PLACEMENT_3D).T
        z = _unit(self._triples(axis, Word.DIRECTION))
        a = self._triples(x, Word.DIRECTION)
        a = _unit(a - np.einsum("ij,ij->i", a, z)[:, None] * z)
        return np.hstack((self._points(origin), z, a, crossed(z, a)))[which]

    def _surfaces(self, places: Places) -> tuple[Places, Floats]:
        """Return kinds and rows of surfaces, as in ``FaceTable``."""
        rows, kinds = np.zeros((len(places), 19)), np.zeros(len(places), dtype=np.intp)
        for kind, known in _KINDS.items():
            own = self.kinds[places] == kind
            kinds[own] = known
            some = places[own]
            rows[own, :12] = self._frames(self._firsts(some, 1, kind)[:, 0])
            if _REALS[kind]:
                sizes = (self.mm, self.radians if kind == Word.CONICAL_SURFACE else self.mm)[: _REALS[kind]]
                rows[own, 12 : 12 + _REALS[kind]] = self._reals(some, _REALS[kind]) * sizes
        return kinds, rows

    def _edges(self, own: _Rims) -> tuple[Edges, Chosen]:
        """Return all edges, and which solids are all right so far."""
        whole = np.ones(len(own.good), dtype=bool)
        one, other, curves = self._firsts(own.edges, 3, Word.EDGE_CURVE).T
        same, _ = self._flags(own.edges)
        one, other = np.where(same, one, other), np.where(same, other, one)
        round_about = one == other
        begins, ends = (self._points(self._firsts(some, 1, Word.VERTEX_POINT)[:, 0]) for some in (one, other))
        on_faces = np.isin(self.kinds[curves], _ON_SURFACE)
        curves[on_faces] = self.statements.targets[self.statements.starts[curves[on_faces]]]
        kinds = self.kinds[curves]
        lines, circles, ellipses, splines = (
            (kinds == kind).nonzero()[0]
            for kind in (Word.LINE, Word.CIRCLE, Word.ELLIPSE, Word.B_SPLINE_CURVE_WITH_KNOTS)
        )
        whole[own.of_edge[~np.isin(kinds, (Word.LINE, Word.CIRCLE, Word.ELLIPSE, Word.B_SPLINE_CURVE_WITH_KNOTS))]] = (
            False
        )
        origin, vector = self._firsts(curves[lines], 2, Word.LINE).T
        base, way = (
            self._points(origin),
            _unit(self._triples(self._firsts(vector, 1, Word.VECTOR)[:, 0], Word.DIRECTION)),
        )
        near, far = (np.einsum("ij,ij->i", some[lines] - base, way) for some in (begins, ends))
        whole[own.of_edge[lines[far - near < NEAR]]] = False
        straight = base[:, None] + np.stack((near, far), axis=1)[:, :, None] * way[:, None]
        arcs, right = self._conics(curves[circles], Word.CIRCLE, begins[circles], ends[circles], round_about[circles])
        whole[own.of_edge[circles[~right]]] = False
        conics, right = self._conics(
            curves[ellipses], Word.ELLIPSE, begins[ellipses], ends[ellipses], round_about[ellipses]
        )
        whole[own.of_edge[ellipses[~right]]] = False
        others = dict(zip(ellipses.tolist(), elliptic(conics), strict=True))
        if len(splines):
            some, spans, right = self._splines(curves[splines], begins[splines], ends[splines])
            whole[own.of_edge[splines[~right]]] = False
            others |= zip(splines[right].tolist(), spline_edges(some, spans), strict=True)
        return Edges(len(kinds), lines, straight, circles, arcs, *sampled_arcs(arcs), others), whole

    def _conics(self, places: Places, kind: Word, begins: Floats, ends: Floats, full: Chosen) -> tuple[Floats, Chosen]:
        """Return parts of circles or ellipses as in ``Edges``, a second radius after the first, and which are right."""
        if len(places) == 0:
            return np.zeros((0, 14 + _REALS[kind])), np.zeros(0, dtype=bool)
        frames, radii = self._frames(self._firsts(places, 1, kind)[:, 0]), self.mm * self._reals(places, _REALS[kind])
        angles = []
        for points in (begins, ends):
            a, b = (np.einsum("ij,ij->i", points - frames[:, :3], frames[:, k : k + 3]) for k in (6, 9))
            angles.append(np.arctan2(b / radii[:, -1], a / radii[:, 0]))
        first, last = angles
        sweep = (last - first) % TURN
        right = full | ((sweep > NEAR) & (sweep < TURN - NEAR))
        sweep[full] = TURN
        return np.hstack((frames, radii, first[:, None], (first + sweep)[:, None])), right & (radii > 0.0).all(axis=1)

    def _splines(self, places: Places, begins: Floats, ends: Floats) -> tuple[Splines, Floats, Chosen]:
        """Return smooth splines that reach from end to end of their edges, their spans, and which are right."""
        said = self.statements
        counts = said.counts(places)
        rows = [knotted(said.said(place), count) for place, count in zip(places.tolist(), counts.tolist(), strict=True)]
        right = np.array([row is not None for row in rows], dtype=bool)
        counts = counts[right]
        poles = self._points(said.from_(places[right]))
        own = [row for row in rows if row]
        degrees, many = (
            np.array(some, dtype=np.intp) for some in ([row[0] for row in own], [len(row[1]) for row in own])
        )
        times = np.array([k for row in own for k in row[1]], dtype=np.intp)
        splines = Splines(degrees, np.array([k for row in own for k in row[2]]), times, many, poles, counts)
        begins, ends = begins[right], ends[right]
        lasts = counts.cumsum() - 1
        off = (poles[lasts + 1 - counts] - begins, poles[lasts] - ends)
        near = np.maximum(*(np.einsum("ij,ij->i", some, some) for some in off)) < AT_END**2
        spans = [
            (row[2][0], row[2][-1]) if whole else span_of(splines.only(k), begins[k], ends[k])
            for k, (row, whole) in enumerate(zip(own, near.tolist(), strict=True))
        ]
        sound = [k for k, span in enumerate(spans) if span]
        right[right] = [bool(span) for span in spans]
        return splines.some(sound), np.array([span for span in spans if span]).reshape(-1, 2), right


def _right(faces: FaceTable, edges: Edges, shells: Places) -> Written | None:
    """Return a solid if it is right, with as many faces in each of its shells."""
    solid = Written(faces, edges, is_closed(faces.edges, edges), True, shells=len(shells))
    if not solid.right:
        return None
    if len(shells) == 1:
        return solid
    of_shell = np.arange(len(shells)).repeat(shells)
    outer, *voids = (volume_of(faces.some(of_shell == k), edges) or 0.0 for k in range(len(shells)))
    return solid if outer > 0.0 and max(voids) < 0.0 else None


def _unit(ways: Floats) -> Floats:
    sizes = np.sqrt(np.einsum("ij,ij->i", ways, ways))
    if not (sizes > NEAR).all():
        raise OddError
    units: Floats = ways / sizes[:, None]
    return units


def _faces_by_solid(faces: FaceTable, own: _Rims) -> Iterator[FaceTable]:
    """Yield the faces of one solid after the other, whose edges have the numbers that they have there."""
    count = len(own.good)
    firsts, edges = (some.searchsorted(np.arange(count + 1)) for some in (own.of_face, own.of_edge))
    for k in range(count):
        some = slice(firsts[k], firsts[k + 1])
        starts = faces.starts[firsts[k] : firsts[k + 1] + 1]
        rims = slice(starts[0], starts[-1])
        numbers = faces.edges[rims] - edges[k]
        yield FaceTable(faces.kinds[some], faces.rows[some], numbers, faces.ways[rims], starts - starts[0])


def _edges_by_solid(edges: Edges, own: _Rims) -> Iterator[Edges]:
    """Yield the edges of one solid after the other."""
    count = len(own.good)
    bounds = own.of_edge.searchsorted(np.arange(count + 1))
    lines, circles = (some.searchsorted(bounds) for some in (edges.line_numbers, edges.circle_numbers))
    others: list[dict[int, Edge]] = [{} for _ in range(count)]
    for number, edge in edges.others.items():
        whose = int(own.of_edge[number])
        others[whose][number - int(bounds[whose])] = edge
    for k in range(count):
        straight, bent = slice(lines[k], lines[k + 1]), slice(circles[k], circles[k + 1])
        starts = edges.starts[circles[k] : circles[k + 1] + 1]
        yield Edges(
            int(bounds[k + 1] - bounds[k]),
            edges.line_numbers[straight] - bounds[k],
            edges.ends[straight],
            edges.circle_numbers[bent] - bounds[k],
            edges.arcs[bent],
            edges.points[starts[0] : starts[-1]],
            starts - starts[0],
            others[k],
        )
