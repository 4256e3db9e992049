#!/usr/bin/env python3
"""Makes the workbooks of this folder and asks z3 which faults break which rules.

    cd tests/data/rules && ./generate.py

Nothing of the program is used: what a fault does to a circuit is written here a second time, for `six` as Kirchhoff's laws, solved in each
combination by plain elimination, for `fourteen` and `twentyfour` as plain logic of their ideal circuits. Which rules break is z3's word. The tests read the workbooks and the pairs, and need no z3.
"""
import json, random, re, subprocess, sys

PULL, WIRE, CONTACT, FUSE, BATTERY = 10000.0, 0.0503, 0.01, 0.03, 0.011


def id_of(label):
    table = str.maketrans({"i": "1", "l": "1", "o": "0", "u": "v"})
    text = re.sub(r"[^0-9a-z]", "", label.lower().translate(table))
    return ("x" + text)[:26]


class Book:
    """A workbook of switches, fuses, wires and one unit that reads."""

    def __init__(self, name):
        self.r = {k: [] for k in ("about units connectors cavities junctions chassis_paths fuses switches parts wires "
                                  "expressions rules").split()}
        self.r["about"] = [{"id": "page", "vehicle": name, "reference": "bn",
                            "supply": {"least_v": 10.5, "nominal_v": 12.6, "most_v": 15.5}}]
        for unit in ("PB", "DS", "CV"):
            self.r["units"].append({"id": id_of(unit), "label": unit, "name": unit})
            self.r["connectors"].append({"id": id_of(unit + "a"), "unit": id_of(unit), "label": unit + "-A"})
        for label, kind in (("BP", "stud"), ("BN", "stud"), ("PS", "stud"), ("G1", "ground_stud")):
            self.r["junctions"].append({"id": label.lower(), "label": label, "kind": kind})
        self.r["chassis_paths"].append({"id": "xpath", "from": {"junction": "g1"}, "to": {"junction": "bn"},
                                        "resistance_ohm": 0.002})
        self.part("PB", "battery", {"source": {"ohm": BATTERY}}, [{"junction": "bp"}, {"junction": "bn"}])
        self.fuse("F0", 400.0, {"junction": "bp"}, {"junction": "ps"})
        self.seen = {}

    def cavity(self, unit, number, **more):
        key = (unit, number)
        if key not in self.seen:
            record = {"id": id_of(f"c{unit}{number}"), "connector": id_of(unit + "a"), "number": str(number)}
            self.seen[key] = record
            self.r["cavities"].append(record)
        self.seen[key].update(more)
        return self.seen[key]["id"]

    def at(self, unit, number):
        return {"cavity": self.cavity(unit, number)}

    def part(self, unit, label, kind, ends):
        self.r["parts"].append({"id": id_of("p" + label), "unit": id_of(unit), "label": label, "kind": kind, "ends": ends})

    def fuse(self, label, rating, one, other):
        self.r["fuses"].append({"id": id_of("f" + label), "label": label, "rating_a": rating, "kind": "blade", "cold_ohm": FUSE})
        self.part("PB", label + " way", {"fuse_way": {"fuse": id_of("f" + label)}}, [one, other])

    def switch(self, label):
        self.r["switches"].append({"id": id_of("s" + label), "label": label, "kind": "switch", "positions": ["off", "on"]})

    def contact(self, label, switch, closed_on, ends):
        driver = {"switch": {"switch": id_of("s" + switch), "operated_in": ["on"]}}
        form = "normally_open" if closed_on else "normally_closed"
        self.part("DS", label, {"contact": {"ohm": CONTACT, "form": form, "driver": driver}}, ends)

    def wire(self, label, one, other):
        for end in (one, other):
            for record in self.r["cavities"]:
                if end == {"cavity": record["id"]}:
                    record["decision"] = "wired"
        self.r["wires"].append({"id": id_of("w" + label), "label": label, "from": one, "to": other,
                                "area_mm2": 0.5, "length_m": 1.0})

    def expression(self, label, text):
        self.r["expressions"].append({"id": id_of("e" + label), "label": label, "unit": id_of("CV"), "text": text})

    def rule(self, label, text):
        self.r["rules"].append({"id": id_of("r" + label), "label": label, "words": text, "text": text, "rests_on": "wiring"})

    def save(self, name):
        order = ("about units connectors cavities junctions chassis_paths fuses switches parts wires expressions rules").split()
        lines = []
        for key in order:
            rows = ",\n      ".join(json.dumps(row) for row in self.r[key])
            lines.append(f'    "{key}": [\n      {rows}\n    ]')
        with open(name + ".json", "w") as out:
            out.write('{\n  "crimpbook_format": 1,\n  "records": {\n' + ",\n".join(lines) + "\n  }\n}\n")


HIGH = {"kind": "digital_in_high", "limits": {"on_above_v": 5.5, "off_below_v": 2.0}}
LOW = {"kind": "digital_in_low", "limits": {"on_below_v": 1.5, "off_above_v": 3.5}}


# ---- expressions: a second reader, for the same words

def tokens(text):
    return re.findall(r"[()]|[^\s()]+", text)


def parse(text):
    queue = tokens(text)

    def any_():
        parts = [all_()]
        while queue and queue[0] == "or":
            queue.pop(0)
            parts.append(all_())
        return parts[0] if len(parts) == 1 else ("or", parts)

    def all_():
        parts = [one()]
        while queue and queue[0] == "and":
            queue.pop(0)
            parts.append(one())
        return parts[0] if len(parts) == 1 else ("and", parts)

    def one():
        word = queue.pop(0)
        if word == "not":
            return ("not", one())
        if word == "(":
            inner = any_()
            queue.pop(0)
            return inner
        if queue and queue[0] == "is":
            queue.pop(0)
            return ("is", word, queue.pop(0))
        return ("name", word)

    return any_()


def may(tree, holds, named, reads):
    """SMT text for: it may hold (or, with holds=False, it may not hold)."""
    kind = tree[0]
    if kind == "not":
        return may(tree[1], not holds, named, reads)
    if kind in ("and", "or"):
        join = kind if holds else {"and": "or", "or": "and"}[kind]
        return f"({join} " + " ".join(may(part, holds, named, reads) for part in tree[1]) + ")"
    if kind == "is":
        on = (tree[2] == "on") == holds
        return tree[1] if on else f"(not {tree[1]})"
    if tree[1] in named:
        return may(named[tree[1]], holds, named, reads)
    return reads[tree[1]][0 if holds else 1]


def z3(text):
    out = subprocess.run(["z3", "-in"], input=text, capture_output=True, text=True, check=True).stdout.split()
    assert all(word in ("sat", "unsat") for word in out), out[:5]
    return out


def save_pairs(name, faults, rules, broken, asked):
    version = subprocess.run(["z3", "--version"], capture_output=True, text=True, check=True).stdout.strip()
    with open(name + ".pairs.csv", "w") as out:
        out.write(f"# {version}; {len(faults)} faults x {len(rules)} rules = {asked} questions; what stands here is satisfiable\n")
        out.write("fault,rule\n")
        for fault, rule in sorted(broken):
            out.write(f"{fault},{rule}\n")
    with open(name + ".faults.csv", "w") as out:
        out.write("fault\n" + "\n".join(sorted(faults)) + "\n")
    print(name, len(faults), "faults,", len(rules), "rules,", len(broken), "pairs")


# ---- six switches: real levels, grounds and undefined voltages

def six():
    b = Book("six switches")
    b.fuse("F1", 5.0, {"junction": "ps"}, b.at("PB", 1))
    b.fuse("F2", 5.0, {"junction": "ps"}, b.at("PB", 2))
    for n in range(1, 7):
        b.switch(f"s{n}")
    feed = b.at("DS", 9)
    inner = lambda name: {"inner": {"unit": id_of("DS"), "node": name}}
    b.contact("c1", "s1", True, [feed, b.at("DS", 1)])
    b.contact("c1b", "s1", False, [feed, b.at("DS", 2)])
    b.contact("c2", "s2", True, [feed, inner("m2")])
    b.contact("c3", "s3", True, [feed, inner("m3")])
    b.part("DS", "R2", {"resistor": {"ohm": 15000.0}}, [inner("m2"), b.at("DS", 3)])
    b.part("DS", "R3", {"resistor": {"ohm": 15000.0}}, [inner("m3"), b.at("DS", 3)])
    b.contact("c4", "s4", True, [b.at("DS", 8), b.at("DS", 4)])
    b.contact("c5", "s5", True, [feed, inner("m5")])
    b.contact("c6", "s6", True, [inner("m5"), b.at("DS", 5)])
    ground = b.at("CV", 9)
    b.cavity("CV", 9, kind="ground")
    for n in (1, 2, 3, 5):
        b.cavity("CV", n, **HIGH)
        b.part("CV", f"pull {n}", {"resistor": {"ohm": PULL}}, [b.at("CV", n), ground])
    b.cavity("CV", 4, **LOW)
    b.part("CV", "pull 4", {"resistor": {"ohm": 4700.0}}, [b.at("CV", 8), b.at("CV", 4)])
    b.wire("WF", b.at("PB", 1), feed)
    b.wire("W8", b.at("PB", 2), b.at("CV", 8))
    b.wire("W9", b.at("DS", 8), {"junction": "g1"})
    b.wire("WG", ground, {"junction": "g1"})
    for n in range(1, 6):
        b.wire(f"W{n}", b.at("DS", n), b.at("CV", n))
    named = {"ready": "CV-A5 and not CV-A1 and not CV-A4", "calm": "CV-A2 or not CV-A3"}
    for label, text in named.items():
        b.expression(label, text)
    rules = {
        "R01": "s1 is on and not CV-A1", "R02": "s1 is on and CV-A2", "R03": "CV-A1 and CV-A2",
        "R04": "s2 is off and s3 is off and CV-A3", "R05": "s2 is on and s3 is on and not CV-A3",
        "R06": "s4 is on and not CV-A4", "R07": "s4 is off and CV-A4", "R08": "s5 is off and CV-A5",
        "R09": "s6 is off and CV-A5", "R10": "s1 is on and ready", "R11": "s2 is off and CV-A3",
        "R12": "not calm and CV-A2", "R13": "s4 is on and ready",
    }
    for label, text in rules.items():
        b.rule(label, "never " + text)
    b.save("six")
    trees = {k: parse(v) for k, v in rules.items()}
    named = {k: parse(v) for k, v in named.items()}

    # Elements: (name, one, other, siemens, condition). The battery is 12.6 V behind its resistance.
    def wire(label, one, other):
        # Node names: w:one is the wire's side of a cavity.
        return (label, one, other, 1 / 0.0383, None)

    base = [("F0", "BP", "PS", 1 / FUSE, None), ("F1", "PS", "PB1", 1 / FUSE, None), ("F2", "PS", "PB2", 1 / FUSE, None),
            ("G1 path", "G1", "BN", 1 / 0.002, None)]
    ends = {"WF": ("PB1", "DS9"), "W8": ("PB2", "CV8"), "W9": ("DS8", "G1"), "WG": ("CV9", "G1")}
    ends.update({f"W{n}": (f"DS{n}", f"CV{n}") for n in range(1, 6)})
    for label, (one, other) in ends.items():
        left = one if one == "G1" else "w" + one
        right = other if other == "G1" else "w" + other
        base.append(wire(label, left, right))
        for cavity in (one, other):
            if cavity != "G1":
                base.append(("crimp", cavity, "w" + cavity, 1 / 0.006, None))
    g = 1 / CONTACT
    base += [("c1", "DS9", "DS1", g, "s1"), ("c1b", "DS9", "DS2", g, "(not s1)"), ("c2", "DS9", "m2", g, "s2"),
             ("c3", "DS9", "m3", g, "s3"), ("R2", "m2", "DS3", 1 / 15000, None), ("R3", "m3", "DS3", 1 / 15000, None),
             ("c4", "DS8", "DS4", g, "s4"), ("c5", "DS9", "m5", g, "s5"), ("c6", "m5", "DS5", g, "s6"),
             ("pull4", "CV8", "CV4", 1 / 4700, None)]
    base += [(f"pull{n}", f"CV{n}", "CV9", 1 / PULL, None) for n in (1, 2, 3, 5)]

    def volts(elements, told):
        """Voltages by Kirchhoff's laws with the switches told; nodes that nothing holds hang on nodes of their own."""
        live = [(a, o, s) for _, a, o, s, when in elements if when is None or told[when.strip("(not )")] != when.startswith("(")]
        nodes = sorted({n for a, o, _ in live for n in (a, o)} | {"BP", "BN"} | {f"CV{n}" for n in (1, 2, 3, 4, 5, 9)})
        part = {n: n for n in nodes}

        def top(n):
            while part[n] != n:
                n = part[n]
            return n

        for a, o, _ in live:
            part[top(a)] = top(o)
        part[top("BP")] = top("BN")
        places = {n: k for k, n in enumerate(nodes)}
        held = {top(n): n for n in nodes}
        held[top("BN")] = "BN"
        size = len(nodes)
        rows = [[0.0] * (size + 1) for _ in nodes]
        for a, o, s in live + [("BP", "BN", 1 / BATTERY)]:
            a, o = places[a], places[o]
            rows[a][a] += s
            rows[o][o] += s
            rows[a][o] -= s
            rows[o][a] -= s
        rows[places["BP"]][size] += 12.6 / BATTERY
        rows[places["BN"]][size] -= 12.6 / BATTERY
        for n in held.values():
            rows[places[n]] = [float(k == places[n]) for k in range(size)] + [0.0]
        for k in range(size):
            best = max(range(k, size), key=lambda r: abs(rows[r][k]))
            rows[k], rows[best] = rows[best], rows[k]
            for r in range(k + 1, size):
                if rows[r][k]:
                    share = rows[r][k] / rows[k][k]
                    rows[r] = [x - share * y for x, y in zip(rows[r], rows[k])]
        out = [0.0] * size
        for k in reversed(range(size)):
            out[k] = (rows[k][size] - sum(rows[k][j] * out[j] for j in range(k + 1, size))) / rows[k][k]
        return {n: (top(n), out[places[n]]) for n in nodes}

    def levels(found):
        """Of each input whether it may be on and may be off."""
        out = {}
        ground, lift = found["CV9"]
        for n in (1, 2, 3, 4, 5):
            node, v = found[f"CV{n}"]
            v -= lift
            if node != ground:
                out[f"CV-A{n}"] = (True, True)
            else:
                out[f"CV-A{n}"] = (v <= 3.5, v >= 1.5) if n == 4 else (v >= 2.0, v <= 5.5)
        return out

    def table(seen):
        """What is read as formulas over the switches, from what it is in each combination."""
        reads = {}
        for name in seen[0][1]:
            may_be = []
            for side in (0, 1):
                rows = []
                for told, levels in seen:
                    if levels[name][side]:
                        rows.append("(and " + " ".join(s if on else f"(not {s})" for s, on in told.items()) + ")")
                may_be.append(f"(or false {' '.join(rows)})")
            reads[name] = tuple(may_be)
        return reads

    combinations = [{f"s{n + 1}": bool(c >> n & 1) for n in range(6)} for c in range(64)]

    def copy(elements, opens=()):
        """What is read in each combination; where fuses carry 1.35 times their rating, once they are open."""
        seen = []
        for told in combinations:
            found = volts(elements, told)
            over = []
            for e in elements:
                if e[0] in opens:
                    current = e[3] * abs(found[e[1]][1] - found[e[2]][1])
                    over += [e[0]] if current >= 6.75 else []
            if over:
                found = volts([e for e in elements if e[0] not in over], told)
            seen.append((told, levels(found)))
        return table(seen)

    def without(label):
        return [e for e in base if e[0] != label]

    variants = {}
    for label, (one, other) in ends.items():
        variants[f"{label} off"] = [(without(label), None)]
        sides = [n if n == "G1" else "w" + n for n in (one, other)]
        for words, to in (("touching chassis", "G1"), ("touching supply", "PS")):
            variants[f"{label} {words}"] = [(base + [("short", n, to, 1000.0, None)], True) for n in sides if n != to]
    for fuse in ("F0", "F1", "F2"):
        variants[f"{fuse} blown"] = [(without(fuse), None)]
    variants["ground from G1 to BN lost"] = [(without("G1 path"), None)]
    for unit in ("CV", "DS", "PB"):
        variants[f"plug {unit}-A off"] = [([e for e in base if not (e[0] == "crimp" and e[1].startswith(unit))], None)]
    for label, closed_on in (("c1", True), ("c1b", False), ("c2", True), ("c3", True), ("c4", True), ("c5", True), ("c6", True)):
        stuck = [(n, a, o, s, None) if n == label else (n, a, o, s, w) for n, a, o, s, w in base]
        variants[f"{label} stuck closed"] = [(stuck, None)]
        variants[f"{label} stuck open"] = [(without(label), None)]

    broken, asked = set(), 0
    switches = "".join(f"(declare-const s{n} Bool)\n" for n in range(1, 7))
    well = copy(base)
    for fault, ways in variants.items():
        for elements, short in ways:
            # F0 is too big for any short here to open it.
            ends_of = [copy(elements)] + ([copy(elements, ("F1", "F2"))] if short else [])
            text = [switches]
            for tree in trees.values():
                now = " ".join(may(tree, True, named, reads) for reads in ends_of)
                text.append(f"(push)(assert (not {may(tree, True, named, well)}))(assert (or false {now}))(check-sat)(pop)")
            answers = z3("\n".join(text))
            asked += len(answers)
            broken |= {(fault, rule) for rule, answer in zip(trees, answers) if answer == "sat"}
    save_pairs("six", list(variants), trees, broken, asked)


# ---- many switches: each input has its own fuse, so that its circuit is plain logic

def many(name, count, inputs, rule_count, seed):
    rnd = random.Random(seed)
    b = Book(name)
    for n in range(1, count + 1):
        b.switch(f"s{n}")
    ground = b.at("CV", 999)
    b.cavity("CV", 999, kind="ground")
    b.wire("WG", ground, {"junction": "g1"})
    circuits = {}
    for k in range(1, inputs + 1):
        if k <= count:
            chain = [(f"s{k}", rnd.random() < 0.6)]
        else:
            chain = [(f"s{n}", rnd.random() < 0.7) for n in rnd.sample(range(1, count + 1), 2)]
        circuits[k] = chain
        b.fuse(f"F{k}", 3.0, {"junction": "ps"}, b.at("PB", k))
        b.wire(f"WF{k}", b.at("PB", k), b.at("DS", 500 + k))
        b.wire(f"W{k}", b.at("DS", k), b.at("CV", k))
        b.cavity("CV", k, **HIGH)
        b.part("CV", f"pull {k}", {"resistor": {"ohm": PULL}}, [b.at("CV", k), ground])
        points = [b.at("DS", 500 + k), b.at("DS", k)]
        if len(chain) == 2:
            points.insert(1, {"inner": {"unit": id_of("DS"), "node": f"m{k}"}})
        for at, (switch, closed_on) in enumerate(chain):
            b.contact(f"c{k}.{at}", switch, closed_on, [points[at], points[at + 1]])

    cavity = lambda k: f"CV-A{k}"
    literal = lambda k: (cavity(k) if rnd.random() < 0.5 else f"not {cavity(k)}")
    named, rules = {}, {}
    for r in range(1, rule_count + 1):
        a = rnd.randint(1, count)
        guard = cavity(a) if circuits[a][0][1] else f"not {cavity(a)}"
        others = rnd.sample([k for k in range(1, inputs + 1) if k != a], 3)
        ready = f"ready{r}"
        named[ready] = f"({literal(others[0])} or {literal(others[1])}) and {literal(others[2])} and not {guard}".replace("not not ", "")
        style = r % 3
        if style == 0:
            rules[f"R{r:02}"] = f"s{a} is on and {ready}"
        elif style == 1:
            x = rnd.randint(1, count)
            rules[f"R{r:02}"] = f"(s{a} is on and {ready}) or (s{a} is on and s{x} is on and {ready} and {literal(others[1])})"
        else:
            twins = [k for k, chain in circuits.items() if len(chain) == 2 and any(s == f"s{a}" and on for s, on in chain)]
            twin = cavity(twins[0]) if twins else f"s{a} is on"
            rules[f"R{r:02}"] = f"{twin} and {ready}"
    for label, text in named.items():
        b.expression(label, text)
    for label, text in rules.items():
        b.rule(label, "never " + text)
    b.save(name)

    trees = {k: parse(v) for k, v in rules.items()}
    named = {k: parse(v) for k, v in named.items()}

    def reads(change):
        """What is read: as the contacts and the fault say."""
        out = {}
        for k, chain in circuits.items():
            closed = []
            for at, (switch, on) in enumerate(chain):
                stuck = change.get(f"c{k}.{at}")
                closed.append(stuck if stuck else (switch if on else f"(not {switch})"))
            value = change.get(k, f"(and true {' '.join(closed)})")
            out[cavity(k)] = (value, f"(not {value})")
        return out

    faults = {}
    for k, chain in circuits.items():
        through = reads({})[cavity(k)][0]
        faults[f"F{k} blown"] = {k: "false"}
        for wire in (f"WF{k}", f"W{k}"):
            faults[f"{wire} off"] = {k: "false"}
            faults[f"{wire} touching chassis"] = {k: "false"}
        faults[f"WF{k} touching supply"] = {k: through}
        faults[f"W{k} touching supply"] = {k: "true"}
        for at in range(len(chain)):
            faults[f"c{k}.{at} stuck closed"] = {f"c{k}.{at}": "true"}
            faults[f"c{k}.{at} stuck open"] = {f"c{k}.{at}": "false"}
    # Without feed or without ground nothing flows, so that each input stands at its unit's ground: off. With the ground wire on supply,
    # 134 A at the unit's end, 286 A at the stud (F0 stays whole), no point is more than 0.3 V above that ground.
    for fault in ("F0 blown", "WG off", "WG touching supply", "ground from G1 to BN lost", "plug CV-A off", "plug DS-A off",
                  "plug PB-A off"):
        faults[fault] = {k: "false" for k in circuits}
    faults["WG touching chassis"] = {}
    text = ["".join(f"(declare-const s{n} Bool)\n" for n in range(1, count + 1))]
    order = []
    for fault, change in faults.items():
        for rule, tree in trees.items():
            well, now = may(tree, True, named, reads({})), may(tree, True, named, reads(change))
            text.append(f"(push)(assert (not {well}))(assert {now})(check-sat)(pop)")
            order.append((fault, rule))
    answers = z3("\n".join(text))
    broken = {pair for pair, answer in zip(order, answers) if answer == "sat"}
    save_pairs(name, list(faults), trees, broken, len(order))


if __name__ == "__main__":
    six()
    many("fourteen", 14, 18, 8, 14)
    many("twentyfour", 24, 27, 7, 24)
