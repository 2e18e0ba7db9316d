package program

import (
	"strings"
	"testing"

	"chalkfield/scripting/talk"
)

// The texts are what CPython 3.11, g++ 12's library, OpenJDK 17 and a C library's assert print.
func TestLastWords(t *testing.T) {
	for name, c := range map[string]struct {
		said, reason string
		at           talk.Place
	}{
		"nothing": {"", "", talk.Place{}},
		"plain":   {"on my way\nno more pebbles\n\n", "no more pebbles", talk.Place{}},
		"python": {`Traceback (most recent call last):
  File "/bots/mine/m_exc.py", line 11, in <module>
    chalkfield.play(auto=auto)
  File "/bots/mine/chalkfield.py", line 296, in play
    bot._rehearse(routines)
  File "/bots/mine/m_exc.py", line 7, in auto
    raise ValueError("boom")
  File "/usr/lib/python3.11/random.py", line 5, in choice
ValueError: boom`, "ValueError: boom", talk.Place{File: "m_exc.py", Line: 7}},
		"python, syntax": {`  File "/bots/mine/m_syntax.py", line 4
    bot.drive.ahead(100
                   ^
SyntaxError: '(' was never closed`, "SyntaxError: '(' was never closed", talk.Place{File: "m_syntax.py", Line: 4}},
		"c++": {"terminate called after throwing an instance of 'std::runtime_error'\n  what():  out of pebbles",
			"out of pebbles", talk.Place{}},
		"c++, no text": {"terminate called after throwing an instance of 'int'", "int", talk.Place{}},
		"c++, a client's": {"terminate called after throwing an instance of 'std::runtime_error'\n" +
			`  what():  robot.cpp:4: the robot has no "claw"`,
			`the robot has no "claw"`, talk.Place{File: "robot.cpp", Line: 4}},
		"assert": {"robot: src/robot.cpp:12: void go(): Assertion `n == 2' failed.", "void go(): Assertion `n == 2' failed.",
			talk.Place{File: "robot.cpp", Line: 12}},
		"java": {`Exception in thread "main" java.lang.IllegalStateException: boom
	at java.base/java.util.ArrayList.get(ArrayList.java:427)
	at Chalkfield$Bot.part(Chalkfield.java:270)
	at Robot.auto(Robot.java:9)
	at Robot.main(Robot.java:20)`, "java.lang.IllegalStateException: boom", talk.Place{File: "Robot.java", Line: 9}},
		"address": {"no <Arm object at 0x7f3ac81b2f10>", "no <Arm object at 0x...>", talk.Place{}},
	} {
		reason, at := lastWords(strings.Split(c.said, "\n"), "/bots/mine")
		if reason != c.reason || at != c.at {
			t.Errorf("%s: %q at %v, want %q at %v", name, reason, at, c.reason, c.at)
		}
	}
}
