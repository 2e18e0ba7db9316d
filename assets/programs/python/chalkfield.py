"""Commands a robot from Python 3.9 or later: one file, nothing else to install.

    import chalkfield

    def auto(bot):
        bot.intake.run(11)                            # any command of a mechanism, as in the guide's page "routine"
        result = bot.drive.ahead(720, speed=900)      # mm and mm/s; waits until the motion has ended
        if not result.ok:
            bot.note("short by %d" % result.left)
        bot.until(lambda: bot.conveyor.count() == 2, 1.5)

    chalkfield.play(auto=auto, side="ochre", start=(600, 450, 90))

Standard output belongs to the simulator: what you print() goes to standard error. Time is the simulator's: never
sleep, but bot.wait(0.2).

Millimetres, degrees, seconds, volts. bot has each mechanism under its name in the robot file, drive, and sense with
the sensors; what they can do tells `chalkfield show ROBOT.toml --calls`.
"""
import json
import math
import os
import sys

PROTOCOL = 1


class Over(BaseException):
    """The phase or the rehearsal has ended, wherever the routine stood. Let it pass."""


class Result:
    """How a motion ended: ok, why ("arrived", "timeout", "stalled", "cancelled"), left (mm or degrees), took (s)."""

    def __init__(self, message):
        self.__dict__.update(message)

    def __repr__(self):
        return "%s after %.2f s, %.1f left" % (self.why, self.took, self.left)


class Underway:
    """Something begun with wait=False."""

    def __init__(self, bot, number):
        self._bot, self._number = bot, number

    def done(self):
        """Whether it has ended."""
        self._bot._fresh()
        return self._number in self._bot._ended

    def join(self):
        """Waits for its end and returns the Result."""
        return self._bot._join(self._number)


class Pose:
    """x and y in mm, heading in degrees counter-clockwise."""

    def __init__(self, x, y, heading):
        self.x, self.y, self.heading = x, y, heading

    def __repr__(self):
        return "(%.0f, %.0f) heading %.1f" % (self.x, self.y, self.heading)


class Part:
    """A mechanism, or the drive base."""

    _slow = {"ahead", "face", "visit", "dock", "trace", "reach"}  # what a routine waits for

    def __init__(self, bot, told):
        self._bot, self._name = bot, told["name"]
        self._commands, self._readings = set(told["commands"]), set(told["readings"])

    def __getattr__(self, name):
        if name in self._readings:
            return lambda: self._bot._reading(self._name, name)
        if name in self._commands:
            return self._slowly(name) if name in self._slow else self._quickly(name)
        raise AttributeError("%s has no %r: it has %s" % (
            self._name, name, ", ".join(sorted(self._commands | self._readings))))

    def _quickly(self, name):
        return lambda *values: self._bot._command("%s.%s" % (self._name, name), values)

    def _slowly(self, name):
        def call(*values, wait=True, **options):
            if options:
                values += (options,)
            number = self._bot._command("%s.%s" % (self._name, name), values, asked=True)
            return self._bot._join(number) if wait else Underway(self._bot, number)
        return call


class Mark:
    """A mark that is seen: name, range (mm), bearing (degrees to the left), and x and y where the field has it (mm)."""

    def __init__(self, message):
        self.__dict__.update(message)

    def __repr__(self):
        return "%s, %.0f mm away at %.1f deg" % (self.name, self.range, self.bearing)


class Sensor:
    """Called, it gives its reading: mm, degrees, or 0 and 1."""

    def __init__(self, bot, told):
        self._bot, self._name, self._looks = bot, told["name"], told.get("looks", ())

    def __call__(self):
        return self._bot._fresh()["sensors"][self._name]

    def kind(self):
        """The kind of the piece before an optical sensor that tells pieces apart, None for no piece."""
        return self._look("kind")

    def side(self):
        """The side of that piece, None for no piece or nobody's."""
        return self._look("side")

    def seen(self):
        """The marks that a mark sensor sees, the nearest first: a list of Mark."""
        return [Mark(m) for m in self._look("seen") or ()]

    def see(self, name):
        """One of them by its name, None while it is not seen."""
        known = [m["name"] for m in self._bot._begin["marks"]]
        if name not in known:
            raise ValueError("the field has no mark %r: it has %s" % (name, ", ".join(known) or "none"))
        return next((m for m in self.seen() if m.name == name), None)

    def _look(self, what):
        if what not in self._looks:
            raise AttributeError("%s does not tell its %r: it tells %s" % (
                self._name, what, ", ".join(self._looks) or "only a number"))
        return self._bot._fresh()["looks"][self._name].get(what)


class Sensors:
    """bot.sense: the sensors by their names: bot.sense.chute()."""

    def __init__(self, bot, told):
        self._sensors = {one["name"]: Sensor(bot, one) for one in told}

    def __getattr__(self, name):
        if name not in self._sensors:
            raise AttributeError("there is no sensor %r: there is %s" % (name, ", ".join(self._sensors)))
        return self._sensors[name]


class Pad:
    """The driver's controller: sticks from -1 to 1, y forward and x to the right."""

    def __init__(self, bot):
        self._bot = bot

    def __getattr__(self, name):
        if name not in ("left_x", "left_y", "right_x", "right_y"):
            raise AttributeError("the pad has no %r" % name)
        return self._bot._fresh()["pad"][name]

    def held(self, button):
        """Whether a button is down: "a", "b", "x", "y", "up", "down", "left", "right", "l1", "l2", "r1", "r2"."""
        return button in self._bot._fresh()["pad"]["buttons"]

    def pressed(self, button):
        """Whether a button went down since the last tick that was told."""
        return self.held(button) and button not in self._bot._before


def _place():
    """The line of the routine that calls, for the record."""
    frame = sys._getframe(1)
    while frame.f_globals is globals() and frame.f_back:
        frame = frame.f_back
    return {"file": os.path.basename(frame.f_code.co_filename), "line": frame.f_lineno}


class Bot:
    """The robot."""

    def __init__(self, lines, hello):
        self._lines, self._begin, self._tick = lines, None, None
        self._queue, self._number, self._ended, self._phase, self._before = [], 0, {}, None, ()
        self.field = hello["field"]
        for told in hello["robot"]["parts"]:
            setattr(self, told["name"], Part(self, told))
        self._parts = [told["name"] for told in hello["robot"]["parts"]]
        self.sense = Sensors(self, hello["robot"]["sensors"])
        self.pad = Pad(self)

    def __getattr__(self, name):
        if name.startswith("_"):
            raise AttributeError(name)
        raise AttributeError("the robot has no %r: it has %s" % (name, ", ".join(self._parts)))

    # What a routine uses, beside the mechanisms.

    def where(self):
        """Where the robot believes to be: its odometry, not the truth."""
        return Pose(**self._fresh()["belief"])

    def here(self, x, y, heading):
        """Tells the odometry where the robot is."""
        self._command("here", (x, y, heading))

    def battery(self):
        """V at its terminals."""
        return self._fresh()["battery"]

    def air(self):
        """kPa in the reservoir."""
        return self._fresh()["air"]

    def clock(self):
        """s since the start of the session."""
        return self._fresh()["time"]

    def note(self, text):
        """Leaves a line in the record."""
        self._command("note", (str(text),))

    def signal(self, name, value, unit=None):
        """Records a number over time, as the charts show it. The unit is fixed at the first call for a name."""
        told = (name, value if math.isfinite(value) else None)
        self._command("signal", told if unit is None else told + (unit,))

    def result(self, name, value, unit=None):
        """Gives a number of the whole rehearsal, which studies may aim at. The last one of a name counts."""
        told = (name, value if math.isfinite(value) else None)
        self._command("result", told if unit is None else told + (unit,))

    def param(self, name):
        """The value in force of a parameter that play() was told of."""
        params = self._begin["params"]
        if name not in params:
            raise KeyError("play() was told of no parameter %r: it was of %s" % (name, ", ".join(params) or "none"))
        return params[name]

    def random(self):
        """A number to seed random.Random with: the same rehearsal has the same."""
        return self._begin["random"]

    def wait(self, seconds=0):
        """Waits; without a number until the next tick."""
        if not 0 <= seconds < float("inf"):
            raise ValueError("wait: for %s s: write 0 or more" % seconds)
        end = self._tick["time"] + seconds
        self._step(wait=seconds)
        while self._tick["time"] < end - 1e-6:  # something begun with wait=False has ended
            self._step(wait=end - self._tick["time"])

    def until(self, condition, timeout=float("inf")):
        """Asks now and at each tick until the condition is true or time is up, and returns whether it is true."""
        end = self._tick["time"] + timeout
        while True:
            if condition():
                return True
            if self.clock() >= end - 1e-6:
                return False
            self._step()

    # How it speaks.

    def _command(self, do, values, asked=False):
        for value in values:
            if isinstance(value, float) and not math.isfinite(value):
                raise ValueError("%s: a number is %s" % (do, value))
        command = dict(_place(), do=do)
        if values:
            command["with"] = values
        if asked:
            self._number += 1
            command["id"] = self._number
        self._queue.append(command)
        return self._number

    def _fresh(self):
        """What is seen now, after what was commanded."""
        if self._queue:
            self._step(again=True)
        return self._tick

    def _reading(self, part, name):
        return self._fresh()["parts"][part][name]

    def _join(self, number):
        while number not in self._ended:
            self._step(wait=1e6)
        return self._ended.pop(number)

    def _step(self, **how):
        """Gives the commands and waits for the next tick."""
        answer = {"answer": "commands", "to": self._tick["number"], "commands": self._queue}
        answer.update(how)
        if "done" not in how:
            answer.update(_place())
        self._queue = []
        self._say(answer)
        if self._listen()["message"] != "tick" or self._tick["phase"] != self._phase:
            raise Over

    def _say(self, message):
        self._lines.write(json.dumps(message) + "\n")
        self._lines.flush()

    def _listen(self):
        """Takes the next message."""
        line = sys.stdin.readline()
        if not line:
            sys.exit(0)  # the simulator has ended
        message = json.loads(line)
        if message["message"] == "tick":
            if self._tick and self._tick.get("pad"):
                self._before = self._tick["pad"]["buttons"]
            self._tick = message
            for result in message["results"]:
                self._ended[result["id"]] = Result(result)
        self._message = message
        return message

    def _rehearse(self, routines):
        """One rehearsal, from its begin to its end."""
        self._begin, self._tick, self._queue, self._ended, self._phase = self._message, None, [], {}, None
        self._listen()
        while self._message["message"] == "tick":
            self._phase = self._tick["phase"]
            try:
                if self._phase in routines:
                    routines[self._phase](self)
                self._step(done=True)
            except Over:
                self._queue = []


def play(auto=None, driver=None, title="", side="", start=None, params=()):
    """Commands the robot by auto(bot), and by driver(bot) in a driver phase, in as many rehearsals as the simulator
    asks for. start is (x, y, heading) in the coordinates of side; params are (name, default, least, greatest)."""
    lines, sys.stdout = sys.stdout, sys.stderr
    line = sys.stdin.readline()
    if not line:
        sys.exit("chalkfield: nobody speaks: start it by  chalkfield run --program \"python3 %s\"" % sys.argv[0])
    hello = json.loads(line)
    if hello["protocol"] != PROTOCOL:
        sys.exit("chalkfield: speaks protocol %d, the simulator %d" % (PROTOCOL, hello["protocol"]))
    bot = Bot(lines, hello)
    routines = {name: fn for name, fn in (("auto", auto), ("driver", driver)) if fn}
    ready = {"answer": "ready", "title": title, "phases": sorted(routines)}
    if side:
        ready["side"] = side
    if start:
        ready["start"] = dict(zip(("x", "y", "heading"), start))
    if params:
        ready["params"] = [dict(zip(("name", "default", "least", "greatest"), p)) for p in params]
    bot._say(ready)
    bot._listen()
    while True:
        if bot._message["message"] == "begin":
            bot._rehearse(routines)
        else:
            bot._listen()
