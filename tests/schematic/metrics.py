"""Measures a drawing in a neutral form, independently of the code that drew it."""

import math
from itertools import combinations, pairwise

EPS = 1e-6
OUTWARD = {"N": (0, -1), "S": (0, 1), "W": (-1, 0), "E": (1, 0)}
NOT_RANKED = {"pilot", "load_sense", "drain", "shaft"}  # kinds that need not run upwards
FAULTS = (
    "overlaps",
    "through",
    "on_frame",
    "net_overlaps",
    "touches",
    "open_pins",
    "shorts",
    "diagonals",
    "bad_exits",
)
WEIGHTS = {
    "faults": 100,
    "crossings": 10,
    "loops": 5,
    "bends": 3,
    "length": 0.1,
}  # score = weighted sum + sqrt(area)/2


# ---- geometry
def snap(value):
    return round(value, 4) + 0.0


def segments_of(points):
    """axis-parallel segments as (horizontal, fixed, low, high), and the number of slanted ones"""
    segments, slanted = [], 0
    for (x0, y0), (x1, y1) in pairwise(points):
        dx, dy = abs(x1 - x0), abs(y1 - y0)
        if dx <= EPS and dy <= EPS:
            continue
        if dy <= EPS:
            segments.append((True, snap(y0), snap(min(x0, x1)), snap(max(x0, x1))))
        elif dx <= EPS:
            segments.append((False, snap(x0), snap(min(y0, y1)), snap(max(y0, y1))))
        else:
            slanted += 1
    return segments, slanted


def merged(segments):
    """union of segments: maximal, pairwise disjoint pieces on every line"""
    lines = {}
    for horizontal, fixed, low, high in segments:
        lines.setdefault((horizontal, fixed), []).append((low, high))
    result = []
    for (horizontal, fixed), spans in sorted(lines.items()):
        spans.sort()
        low, high = spans[0]
        for a, b in spans[1:]:
            if a <= high + EPS:
                high = max(high, b)
            else:
                result.append((horizontal, fixed, low, high))
                low, high = a, b
        result.append((horizontal, fixed, low, high))
    return result


def point_in(segment, x, y):
    horizontal, fixed, low, high = segment
    along, across = (x, y) if horizontal else (y, x)
    return abs(across - fixed) <= EPS and low - EPS <= along <= high + EPS


def meeting(h, v):
    """where a horizontal and a vertical segment meet, and whether inside both; None if nowhere"""
    x, y = v[1], h[1]
    if not (h[2] - EPS <= x <= h[3] + EPS and v[2] - EPS <= y <= v[3] + EPS):
        return None
    inside = h[2] + EPS < x < h[3] - EPS and v[2] + EPS < y < v[3] - EPS
    return (x, y), inside


def overlap(a0, a1, b0, b1):
    return min(a1, b1) - max(a0, b0)


def frame(symbol):
    return (
        snap(symbol["x"]),
        snap(symbol["y"]),
        snap(symbol["x"] + symbol["w"]),
        snap(symbol["y"] + symbol["h"]),
    )


def rect_of(segment):
    horizontal, fixed, low, high = segment
    return (low, fixed, high, fixed) if horizontal else (fixed, low, fixed, high)


class Net:
    """the drawn shape of one net: union of its wires, as segments and as a planar graph"""

    def __init__(self, wires):
        raw, self.diagonals = [], 0
        for points in wires:
            segments, slanted = segments_of(points)
            raw += segments
            self.diagonals += slanted
        self.segments = merged(raw)
        self.length = sum(s[3] - s[2] for s in self.segments)
        self._graph()

    def _graph(self):
        marks = {s: {s[2], s[3]} for s in self.segments}
        for h in self.segments:
            if h[0]:
                for v in self.segments:
                    if not v[0]:
                        hit = meeting(h, v)
                        if hit:
                            marks[h].add(hit[0][0])
                            marks[v].add(hit[0][1])
        self.arms, edges = {}, []
        for s, along in marks.items():
            horizontal, fixed = s[0], s[1]
            nodes = [(a, fixed) if horizontal else (fixed, a) for a in sorted(along)]
            for p, q in pairwise(nodes):
                step = (1, 0) if horizontal else (0, 1)
                self.arms.setdefault(p, set()).add(step)
                self.arms.setdefault(q, set()).add((-step[0], -step[1]))
                edges.append((p, q))
        parent = {n: n for n in self.arms}

        def find(n):
            while parent[n] != n:
                parent[n] = parent[parent[n]]
                n = parent[n]
            return n

        for p, q in edges:
            parent[find(p)] = find(q)
        self.piece = {n: find(n) for n in self.arms}
        self.pieces = len(set(self.piece.values()))
        self.loops = len(edges) - len(self.arms) + self.pieces
        self.bends = sum(len(a) == 2 and sum(d[0] for d in a) != 0 for a in self.arms.values())
        self.junctions = sum(len(a) >= 3 for a in self.arms.values())
        self.four_way = sum(len(a) == 4 for a in self.arms.values())

    def at(self, x, y):
        """(piece, directions) of the drawn net at a point, or None"""
        for s in self.segments:
            if point_in(s, x, y):
                along = x if s[0] else y
                arms = set()
                for t in self.segments:
                    if point_in(t, x, y):
                        value = x if t[0] else y
                        step = (1, 0) if t[0] else (0, 1)
                        if value < t[3] - EPS:
                            arms.add(step)
                        if value > t[2] + EPS:
                            arms.add((-step[0], -step[1]))
                near = min(
                    (n for n in self.arms if point_in(s, *n)),
                    key=lambda n: abs((n[0] if s[0] else n[1]) - along),
                )
                return self.piece[near], arms
        return None


# ---- metrics
def measure(drawing, gap=1.0):
    """all metrics of one drawing; `gap` is the least clearance in modules"""
    m = float(drawing.get("module", 1))
    symbols = drawing["symbols"]
    nets = {n["id"]: n for n in drawing["nets"]}
    paths = {k: [] for k in nets}
    for wire in drawing.get("wires", []):
        paths[wire["net"]].append(wire["points"])
    shape = {k: Net(v) for k, v in paths.items()}
    terminals, faulty = terminal_points(drawing)
    r = {
        "name": drawing.get("name", ""),
        "symbols": len(symbols),
        "nets": len(nets),
        "pins": sum(len(n["pins"]) for n in nets.values()),
        "time_ms": drawing.get("time_ms"),
    }

    # connection faults
    r["open_pins"], r["bad_exits"] = faulty, 0
    for key in nets:
        opened, bad = net_faults(shape[key], terminals[key])
        r["open_pins"] += opened
        r["bad_exits"] += bad
    r["shorts"] = sum(
        shape[other].at(p["x"], p["y"]) is not None
        for key, ends in terminals.items()
        for p in ends
        if not p["spare"]
        for other in nets
        if other != key
    )
    r["diagonals"] = sum(s.diagonals for s in shape.values())

    # nets against nets
    crossings = touches = overlaps = 0
    for a, b in combinations(sorted(nets), 2):
        for s in shape[a].segments:
            for t in shape[b].segments:
                if s[0] == t[0]:
                    if abs(s[1] - t[1]) <= EPS and overlap(s[2], s[3], t[2], t[3]) > EPS:
                        overlaps += 1
                    continue
                hit = meeting(s, t) if s[0] else meeting(t, s)
                if hit:
                    crossings += hit[1]
                    touches += not hit[1]
    r["crossings"], r["touches"], r["net_overlaps"] = crossings, touches, overlaps

    # symbols and nets against symbols
    r["overlaps"] = sum(
        min(overlap(a[0], a[2], b[0], b[2]), overlap(a[1], a[3], b[1], b[3])) > EPS
        for a, b in combinations([frame(s) for s in symbols], 2)
    )
    r["through"] = r["on_frame"] = 0
    for net in shape.values():
        for symbol in symbols:
            x0, y0, x1, y1 = frame(symbol)
            inside = along = False
            for segment in net.segments:
                a0, b0, a1, b1 = rect_of(segment)
                ox, oy = overlap(a0, a1, x0, x1), overlap(b0, b1, y0, y1)
                horizontal = segment[0]
                run, depth = (ox, oy) if horizontal else (oy, ox)
                lane_in = (
                    (y0 + EPS < segment[1] < y1 - EPS)
                    if horizontal
                    else (x0 + EPS < segment[1] < x1 - EPS)
                )
                inside |= lane_in and run > EPS
                along |= (not lane_in) and depth >= -EPS and run > EPS
            r["through"] += inside
            r["on_frame"] += along and not inside

    # shape of the wires
    for key in ("bends", "junctions", "four_way", "loops"):
        r[key] = sum(getattr(s, key) for s in shape.values())
    r["length"] = sum(s.length for s in shape.values()) / m
    two = [k for k in nets if len(terminals[k]) == 2]
    r["straight"] = sum(shape[k].bends == 0 for k in two) / len(two) if two else 1.0
    r["pair_gap"] = sum(abs(shape[a].bends - shape[b].bends) for a, b in drawing.get("pairs", []))
    r["tight"] = tight_runs(shape, symbols, terminals, gap * m)
    points = {p for s in shape.values() for p in s.arms}
    r["off_grid"] = sum(any(abs(c / m - round(c / m)) > 1e-3 for c in p) for p in points)
    r["inversions"] = inversions(drawing, terminals)

    # sheet
    boxes = [frame(s) for s in symbols] + [rect_of(s) for n in shape.values() for s in n.segments]
    labels = [(t["x"], t["y"], t["x"] + t["w"], t["y"] + t["h"]) for t in drawing.get("labels", [])]
    boxes += labels
    r["width"] = (max(b[2] for b in boxes) - min(b[0] for b in boxes)) / m
    r["height"] = (max(b[3] for b in boxes) - min(b[1] for b in boxes)) / m
    r["area"] = r["width"] * r["height"]
    r["aspect"] = r["width"] / r["height"] if r["height"] else math.inf
    r["fill"] = sum(s["w"] * s["h"] for s in symbols) / m / m / r["area"] if r["area"] else 0.0
    r.update(label_faults(labels, symbols, shape))
    r["faults"] = sum(r[k] for k in FAULTS)
    r["score"] = sum(w * r[k] for k, w in WEIGHTS.items()) + 0.5 * math.sqrt(r["area"])
    return r


def terminal_points(drawing):
    """per net its port points; a repeatable symbol's pin stands for all copies the net reaches"""
    by_id = {s["id"]: s for s in drawing["symbols"]}
    copies = {}
    for s in drawing["symbols"]:
        copies.setdefault(s.get("copy_of", s["id"]), []).append(s)
    result, missing = {}, 0
    for net in drawing["nets"]:
        ends = []
        for pin in net["pins"]:
            owner, port = pin.rsplit(".", 1)
            family = copies.get(owner, [])
            spare = any(s.get("repeatable") for s in family)
            for s in family if spare else [by_id[owner]] if owner in by_id else []:
                p = s["ports"][port]
                ends.append(
                    {
                        "pin": pin,
                        "symbol": s,
                        "x": snap(s["x"] + p["x"]),
                        "y": snap(s["y"] + p["y"]),
                        "side": p["side"],
                        "spare": spare,
                    }
                )
            if not family:
                missing += 1
        result[net["id"]] = ends
    nets = {
        n["id"]: [w["points"] for w in drawing.get("wires", []) if w["net"] == n["id"]]
        for n in drawing["nets"]
    }
    for key, ends in result.items():  # keep those copies only that this net really reaches
        drawn = Net(nets[key])
        result[key] = [e for e in ends if not e["spare"] or drawn.at(e["x"], e["y"])]
    return result, missing


def net_faults(net, ends):
    """pins the drawn net does not join up, and pins where it does not leave straight outwards"""
    pieces, spare_pieces, opened, bad = {}, set(), 0, 0
    for e in ends:
        found = net.at(e["x"], e["y"])
        if found is None:
            opened += 1
            continue
        piece, arms = found
        bad += OUTWARD[e["side"]] not in arms
        if e["spare"]:
            spare_pieces.add(piece)
        else:
            pieces[piece] = pieces.get(piece, 0) + 1
    loose = sorted(n for p, n in pieces.items() if p not in spare_pieces)
    if spare_pieces:
        opened += sum(loose)
    elif loose:
        opened += sum(loose[:-1])
    return opened, bad


def tight_runs(shape, symbols, terminals, gap):
    """stretches where a wire runs closer than `gap` beside another net or a foreign frame"""
    count = 0
    for a, b in combinations(sorted(shape), 2):
        for s in shape[a].segments:
            for t in shape[b].segments:
                if s[0] == t[0] and EPS < abs(s[1] - t[1]) < gap - EPS:
                    count += overlap(s[2], s[3], t[2], t[3]) > EPS
    for key, net in shape.items():
        own = {id(e["symbol"]) for e in terminals[key]}
        for symbol in symbols:
            if id(symbol) in own:
                continue
            x0, y0, x1, y1 = frame(symbol)
            for s in net.segments:
                low, high, a, b = (y0, y1, x0, x1) if s[0] else (x0, x1, y0, y1)
                beside = EPS < low - s[1] < gap - EPS or EPS < s[1] - high < gap - EPS
                count += beside and overlap(s[2], s[3], a, b) > EPS
    return count


def inversions(drawing, terminals):
    """pairs of symbols in one flow net where the one of higher rank is drawn lower"""
    rank = {s["id"]: s.get("rank") for s in drawing["symbols"]}
    count = 0
    for net in drawing["nets"]:
        if net.get("kind") in NOT_RANKED:
            continue
        for a, b in combinations(terminals[net["id"]], 2):
            ra, rb = (rank.get(e["symbol"].get("copy_of", e["symbol"]["id"])) for e in (a, b))
            if ra is None or rb is None or ra == rb:
                continue
            low, high = (a, b) if ra < rb else (b, a)
            mid = [e["symbol"]["y"] + e["symbol"]["h"] / 2 for e in (low, high)]
            count += mid[1] > mid[0] + EPS
    return count


def label_faults(labels, symbols, shape):
    def clash(a, b):
        return overlap(a[0], a[2], b[0], b[2]) > EPS and overlap(a[1], a[3], b[1], b[3]) > EPS

    def struck(a, s):
        b = rect_of(s)
        ox, oy = overlap(a[0], a[2], b[0], b[2]), overlap(a[1], a[3], b[1], b[3])
        return (
            (ox > EPS and a[1] + EPS < s[1] < a[3] - EPS)
            if s[0]
            else (oy > EPS and a[0] + EPS < s[1] < a[2] - EPS)
        )

    return {
        "labels": len(labels),
        "label_label": sum(clash(a, b) for a, b in combinations(labels, 2)),
        "label_symbol": sum(clash(a, frame(s)) for a in labels for s in symbols),
        "label_wire": sum(
            any(struck(a, s) for s in n.segments) for a in labels for n in shape.values()
        ),
    }


# ---- drawing against case, drawing against drawing
def turned(symbol, mirror, quarter):
    """frame size and ports after a left-right mirror and so many clockwise quarter turns"""
    w, h = symbol["w"], symbol["h"]
    ports = {k: (p["x"], p["y"], p["side"]) for k, p in symbol["ports"].items()}
    if mirror:
        ports = {k: (w - x, y, {"E": "W", "W": "E"}.get(s, s)) for k, (x, y, s) in ports.items()}
    for _ in range(quarter):
        ports = {k: (h - y, x, "NESW"["NESW".index(s) + 1 & 3]) for k, (x, y, s) in ports.items()}
        w, h = h, w
    return w, h, ports


def differences(case, drawing):
    """what the drawing changed against the case: missing or foreign symbols, frames, ports, nets"""
    said = []
    scale = float(drawing.get("module", 1)) / float(case.get("module", 1))
    drawn = {s["id"]: s for s in drawing["symbols"]}
    wanted = {s["id"]: s for s in case["symbols"]}
    for key, symbol in wanted.items():
        family = [s for s in drawing["symbols"] if s["id"] == key or s.get("copy_of") == key]
        if not family or (len(family) > 1 and not symbol.get("repeatable")):
            said.append(f"symbol {key}: drawn {len(family)} times")
        may = symbol.get("may", [])
        forms = [
            turned(symbol, a, b)
            for a in ([0, 1] if "mirror" in may else [0])
            for b in (range(4) if "turn" in may else [0])
        ]
        for s in family:
            own = (
                s["w"] / scale,
                s["h"] / scale,
                {k: (p["x"] / scale, p["y"] / scale, p["side"]) for k, p in s["ports"].items()},
            )
            if not any(same_frame(own, f) for f in forms):
                said.append(f"symbol {s['id']}: frame or ports changed")
    for key, s in drawn.items():
        if s.get("copy_of", key) not in wanted:
            said.append(f"symbol {key}: not in the case")
    have = {n["id"]: sorted(n["pins"]) for n in drawing["nets"]}
    want = {n["id"]: sorted(n["pins"]) for n in case["nets"]}
    said += [f"net {k}: pins changed" for k in sorted(want) if have.get(k) != want[k]]
    said += [f"net {k}: not in the case" for k in sorted(have) if k not in want]
    return said


def same_frame(a, b):
    return (
        abs(a[0] - b[0]) < 1e-3
        and abs(a[1] - b[1]) < 1e-3
        and a[2].keys() == b[2].keys()
        and all(
            a[2][k][2] == b[2][k][2] and math.dist(a[2][k][:2], b[2][k][:2]) < 1e-3 for k in a[2]
        )
    )


def stability(old, new):
    """movement of the symbols that both drawings have, after the best common shift"""
    m = float(old.get("module", 1))
    a = {
        s["id"]: (s["x"] + s["w"] / 2, s["y"] + s["h"] / 2)
        for s in old["symbols"]
        if "copy_of" not in s
    }
    b = {
        s["id"]: (s["x"] + s["w"] / 2, s["y"] + s["h"] / 2)
        for s in new["symbols"]
        if "copy_of" not in s
    }
    keys = sorted(a.keys() & b.keys())
    if not keys:
        return {"common": 0, "moved": 0, "mean_shift": 0.0, "order_changes": 0}
    shift = [sorted(b[k][i] - a[k][i] for k in keys)[len(keys) // 2] for i in (0, 1)]
    away = [math.dist(b[k], (a[k][0] + shift[0], a[k][1] + shift[1])) / m for k in keys]
    swaps = sum(
        (a[p][i] - a[q][i]) * (b[p][i] - b[q][i]) < -EPS
        for p, q in combinations(keys, 2)
        for i in (0, 1)
    )
    return {
        "common": len(keys),
        "moved": sum(d > 1e-3 for d in away),
        "mean_shift": sum(away) / len(keys),
        "order_changes": swaps,
    }
