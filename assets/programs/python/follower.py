"""Follows a table of setpoints, in Python 3.9 or later: one file, nothing else to install.

    import follower

    plan = follower.read("plan.csv")                     # or plan.json: chalkfield run mine.lua --setpoints plan.csv
    f = follower.Follower(plan)
    while not f.done():                                  # every 10 or 20 ms
        left, right = f.step(time, x, y, heading)        # s, mm, mm, degrees counter-clockwise: your odometry
        ...                                              # give these volts to the two sides
        for what, values in f.due():                     # "intake.run", [11]
            ...                                          # tell your mechanisms

On the real robot: first with the wheels off the floor, then at low speed with the field clear, a person at the disable
switch. Set f.hold = True to let the plan wait, as where the routine waited for a sensor: f.row()["waits"] is not 0.

The law is the one that the rehearsal used. Where to go: Kanayama, Kimura, Miyazaki & Noguchi, A stable tracking control
method for an autonomous mobile robot, ICRA 1990, with its gains scheduled over the speed. The plan's time waits for a
robot that is behind it: Dahl & Nielsen, IEEE Trans. R&A 6(5), 1990. The volts: feed-forward, and PI on the speeds by
lambda tuning (Astrom & Hagglund, Advanced PID Control, 2006, 6.4; from memory).
"""
import collections
import csv
import json
import math

_WORDS = "setpoints by Chalkfield"
REST, FOLLOW, TURN = 0, 1, 2


class Plan:
    """A table: rows (dictionaries by the columns' names), commands by row, steps with their laws."""

    def __init__(self, head, rows, commands):
        self.rows, self.commands = rows, commands
        self.side, self.start, self.period = head["side"], head["start"], head["period_s"]
        self.steps, self.not_in_it = head["steps"], head["not_in_it"] or []


def read(path):
    """Reads a table that ends in .csv or .json."""
    with open(path, encoding="utf-8-sig", newline="") as file:
        if path.lower().endswith(".json"):
            head = json.load(file)
            if head.get("format") != _WORDS or head["version"] != 1:
                raise ValueError("%s: no setpoints of version 1" % path)
            names, rows, commands = [_name(c) for c in head["columns"]], head["rows"], {}
            for c in head["commands"]:
                commands.setdefault(c["row"], []).append((c["do"], c.get("with", [])))
            return Plan(head, [dict(zip(names, row)) for row in rows], commands)
        lines = file.readlines()
    if not lines or lines[0].strip() != "# %s, version 1" % _WORDS:
        raise ValueError("%s: no setpoints of version 1" % path)
    head = {}
    for line in lines[1:]:
        name, found, value = line[1:].strip().partition(": ")
        if line.startswith("#") and found and value[:1] in '{["0123456789n':
            head[name] = json.loads(value)
    table = csv.reader(line for line in lines if not line.startswith("#"))
    names = [_name(c) for c in next(table)]
    rows, commands = [], {}
    for cells in table:
        for said in cells[-1].split(";"):
            words = said.split()
            if words:
                commands.setdefault(len(rows), []).append((words[0], [_value(w) for w in words[1:]]))
        rows.append({name: float(cell) for name, cell in zip(names[:-1], cells)})
    return Plan(head, rows, commands)


def _name(header):
    """A column's name in this file: "left V" is left_volts, "x mm" is x."""
    if header in ("left V", "right V"):
        return header[:-2] + "_volts"
    name, _, unit = header.rpartition(" ")
    return (name or unit).replace(" ", "_")


def _value(word):
    try:
        return float(word)
    except ValueError:
        return word


def _clamp(x, least, most):
    return max(least, min(most, x))


def _hold(behind, slack, stop):
    """How fast the plan's time runs, 0 to 1, when the robot is so far behind."""
    return _clamp((stop - behind) / (stop - slack), 0.0, 1.0)


def _wrap(angle):
    return math.remainder(angle, 2 * math.pi)


class Follower:
    """Follows one plan once."""

    def __init__(self, plan):
        self.plan, self.hold = plan, False
        self._i, self._at = 0, 0.0                      # the row, and the plan's own time
        self._time = None                               # of the last step
        self._due = list(plan.commands.get(0, ()))
        self._new_step()

    def done(self):
        """Whether the plan has run out. Then give 0 V."""
        return self._i == len(self.plan.rows) - 1

    def row(self):
        """The row that holds now."""
        return self.plan.rows[self._i]

    def due(self):
        """Takes the commands to mechanisms that are due: (what, values)."""
        due, self._due = self._due, []
        if any(what == "here" for what, _ in due):
            self._moved = True                          # the odometry jumps: that is no speed
        return due

    def step(self, time, x, y, heading):
        """Volts for the left and the right side at a time (s) at which the robot is at x, y (mm), heading (deg)."""
        dt = self._measure(time, x / 1000, y / 1000, math.radians(heading))
        self._advance(dt)
        row = self.plan.rows[self._i]
        if row["mode"] == REST:
            self._new_step()
            return 0.0, 0.0
        ref, law = self._reference(), self._law()
        v, w = self._lead(ref, law)
        return self._volts(ref, law, v, w, dt)

    # Where the robot is and how fast.

    def _measure(self, time, x, y, heading):
        if self._time is None:
            self._x, self._y, self._heading, self._along, self._turn = x, y, heading, 0.0, 0.0
            self._time, self._moved = time, False
            return 0.0
        dt = time - self._time
        turned = _wrap(heading - self._heading)
        if dt > 0 and not self._moved:
            middle = self._heading + turned / 2
            self._along = ((x - self._x) * math.cos(middle) + (y - self._y) * math.sin(middle)) / dt
            self._turn = turned / dt
        self._x, self._y, self._heading = x, y, self._heading + turned
        self._time, self._moved = time, False
        return max(dt, 0.0)

    # The plan's time.

    def _new_step(self):
        self._pace, self._lost, self._waited = 1.0, 0.0, 0.0
        self._sum_along, self._sum_turn, self._last_v, self._last_w = 0.0, 0.0, 0.0, 0.0
        self._past = collections.deque()

    def _law(self):
        return self.plan.steps[int(self.row()["step"])]["law"]

    def _advance(self, dt):
        if self.hold or dt == 0:
            return
        rows = self.plan.rows
        self._lost += dt * (1 - self._pace)
        self._at += dt * self._pace
        while not self.done() and self._at >= rows[self._i + 1]["time"] - 1e-6:
            row, after = rows[self._i], rows[self._i + 1]
            if after["step"] != row["step"]:
                if not self._arrived(row):
                    self._waited += dt
                    self._at = after["time"]
                    return
                self._new_step()
            self._i += 1
            self._due += self.plan.commands.get(self._i, ())

    def _arrived(self, row):
        """Whether the robot is where a motion ends, or has had its time to come there."""
        step = self.plan.steps[int(row["step"])]
        if step["within"] == 0 or row["speed"] != 0 or self._waited > 0.5:
            return True
        off = abs(_wrap(math.radians(row["heading"]) - self._heading))
        if row["mode"] == TURN:
            return off <= step["within_angle"]
        along, aside = self._seen(row["x"] / 1000, row["y"] / 1000, self._x, self._y, self._heading)
        return abs(along) <= step["within"] and abs(aside) <= 3 * step["within"]

    @staticmethod
    def _seen(x, y, from_x, from_y, heading):
        """A point as seen from a place: ahead and to the left."""
        c, s = math.cos(heading), math.sin(heading)
        return c * (x - from_x) + s * (y - from_y), c * (y - from_y) - s * (x - from_x)

    def _reference(self):
        """The plan at its time, between two rows. SI units, radians."""
        row, after = self.plan.rows[self._i], self.plan.rows[min(self._i + 1, len(self.plan.rows) - 1)]
        share = 0.0
        if after["step"] == row["step"] and after["mode"] == row["mode"] and after["time"] > row["time"]:
            share = _clamp((self._at - row["time"]) / (after["time"] - row["time"]), 0.0, 1.0)
        ref = {k: row[k] + share * (after[k] - row[k]) for k in
               ("x", "y", "heading", "speed", "turning", "left_volts", "right_volts")}
        for name in ("x", "y", "speed"):
            ref[name] /= 1000
        for name in ("heading", "turning"):
            ref[name] = math.radians(ref[name])
        ref["mode"] = row["mode"]
        return ref

    # The tracking law: the speeds to have.

    def _lead(self, ref, law):
        ahead, turned = self._along * law["delay"], self._turn * law["delay"]
        heading = self._heading + turned                # what is commanded now acts where the robot will be then
        x = self._x + (ahead + law["pivot"]) * math.cos(heading)
        y = self._y + (ahead + law["pivot"]) * math.sin(heading)
        off = _wrap(ref["heading"] - heading)
        if ref["mode"] == TURN:
            behind = off if ref["turning"] > 0 else -off if ref["turning"] < 0 else 0.0
            self._run(_hold(behind, 0.10, 0.45))
            w = ref["turning"] * self._pace
            w += law["heading_p"] * off + law["heading_d"] * (w - self._turn)
            return ref["speed"], _clamp(w, -law["top_turn"], law["top_turn"])

        back = ref["speed"] < 0
        to_x = ref["x"] + law["pivot"] * math.cos(ref["heading"])
        to_y = ref["y"] + law["pivot"] * math.sin(ref["heading"])
        ex, ey = self._seen(to_x, to_y, x, y, heading + (math.pi if back else 0.0))
        self._run(1.0 if ref["speed"] == 0 else min(
            _hold(ex, 0.02, 0.08), _hold(abs(off), 0.35, 1.0), max(0.3, _hold(abs(ey), 0.12, 0.50))))
        vr, wr = abs(ref["speed"]) * self._pace, ref["turning"] * self._pace
        # kth vr is the gain heading_p at every speed but the lowest, and the sideways error is damped by 0.7
        kx, kth = law["along_p"], law["heading_p"] / max(vr, law["slow"])
        ky = (kth / 1.4) ** 2
        ex = _clamp(ex, -law["catch_up"] / kx, law["catch_up"] / kx)
        ey = _clamp(ey, -0.5 * kth / ky, 0.5 * kth / ky)
        v = vr * math.cos(off) + kx * ex
        w = wr + vr * (ky * ey + kth * math.sin(off))
        w += (law["heading_p"] - kth * vr) * math.sin(off)   # what the law loses towards rest
        w += law["heading_d"] * (wr - self._turn)
        return (-v if back else v), _clamp(w, -law["top_turn"], law["top_turn"])

    def _run(self, pace):
        """Sets how fast the plan's time runs. A motion may lose 1.5 s; then it goes on, whatever stands in its way."""
        self._pace = pace if self._lost < 1.5 else 1.0

    # The loop of the speeds: the volts.

    @staticmethod
    def _static(law, v, w):
        """What overcomes friction, V, along and in turning."""
        half, knee = w * law["track"] / 2, 0.02
        left = law["friction_volts"] * _clamp((v - half) / knee, -1.0, 1.0)
        right = law["friction_volts"] * _clamp((v + half) / knee, -1.0, 1.0)
        scrub = law["turn_friction_volts"] * _clamp(w * law["track"] / (2 * knee), -1.0, 1.0)
        return (left + right) / 2, (right - left) / 2 + scrub

    def _asked(self, law, v, w):
        """The speeds that the motors are at by now, as late as they are."""
        self._past.append((self._time, v, w))
        while len(self._past) > 1 and self._past[1][0] <= self._time - law["delay"] + 1e-9:
            self._past.popleft()
        return self._past[0][1:]

    def _volts(self, ref, law, v, w, dt):
        then_v, then_w = self._asked(law, v, w)
        error, turn_error = then_v - self._along, then_w - self._turn
        if v * self._last_v < 0:
            self._sum_along = 0.0                       # what it had learnt of friction acts the other way now
        if w * self._last_w < 0:
            self._sum_turn = 0.0
        self._last_v, self._last_w = v, w

        # feed-forward: the table's, moved to the speeds that the law asks for
        static, turn_static = self._static(law, v, w)
        ref_static, ref_turn_static = self._static(law, ref["speed"], ref["turning"])
        more = (ref["left_volts"] + ref["right_volts"]) / 2 - ref_static - law["speed_volts"] * ref["speed"]
        turn_more = (ref["right_volts"] - ref["left_volts"]) / 2 - ref_turn_static - law["turn_speed_volts"] * ref["turning"]
        along = static + law["speed_volts"] * v + self._pace * more
        turn = turn_static + law["turn_speed_volts"] * w + self._pace * turn_more

        along += law["acceleration_volts"] / law["lag"] * error + self._sum_along
        turn += law["turn_acceleration_volts"] / law["lag"] * turn_error + self._sum_turn
        if law["push"] > 0 and law["acceleration_volts"] > 0:           # what the robot bears without tipping
            asked = self._pace * more / law["acceleration_volts"] + error / law["lag"]
            along -= law["acceleration_volts"] * (asked - _clamp(asked, -law["brake"], law["push"]))

        turn_cut = _clamp(turn, -law["volts"], law["volts"])    # too little for both: turning comes first
        rest = law["volts"] - abs(turn_cut)
        along_cut = _clamp(along, -rest, rest)
        if (along - along_cut) * error <= 0:
            self._sum_along += law["speed_volts"] / law["lag"] * error * dt
        if (turn - turn_cut) * turn_error <= 0:
            self._sum_turn += law["turn_speed_volts"] / law["lag"] * turn_error * dt
        return self._audible(law, along_cut - turn_cut), self._audible(law, along_cut + turn_cut)

    @staticmethod
    def _audible(law, volts):
        """Rounds what lies within the motor controller's dead band to what it gives."""
        if abs(volts) >= law["band"]:
            return volts
        return math.copysign(law["band"], volts) if abs(volts) >= law["band"] / 2 else 0.0
