package scripting

import (
	"chalkfield/internal/base/geom"
	"chalkfield/scripting/motion"
	"chalkfield/scripting/sandbox"
	"chalkfield/sim/robot"
)

// Intent is what a routine wants of its robot at one tick: what a plan is made from.
type Intent struct {
	Phase       Phase
	At          geom.Pose   // where the robot believes to be
	Along, Rate float64     // and how fast it moves: m/s along its heading, rad/s
	Motion      *motion.Aim // nil: none is under way
	Left, Right float64     // V: what the trains were told directly, without a motion
	Given       []Given     // since the last tick, in order; good until the next
	Line        int         // of the routine's file, at which its main task stands; 0: none
	Awaits      int         // line of the condition, or of the call, that waits for what a sensor tells; 0: none
	Done        bool        // nothing is under way or can still begin
}

// Given is a command beside those of the trains, as a routine writes it: part or "drive", the call, and its values.
type Given struct {
	Of, Call string
	Numbers  []float64
	Word     string
}

// Intent is that of the last Tick.
func (h *Host) Intent() Intent {
	i := Intent{Phase: h.phase, At: h.machine.Belief(), Left: h.trainVolts[0], Right: h.trainVolts[1], Given: h.given,
		Done: h.Done()}
	i.Along, i.Rate = h.machine.BeliefSpeed()
	if h.drive != nil {
		aim := h.drive.motion.Aim()
		i.Motion = &aim
	}
	if lines := h.Lines(); len(lines) > 0 {
		i.Line = lines[0]
	}
	for _, t := range h.tasks {
		if i.Awaits = h.awaits(t); i.Awaits != 0 {
			break
		}
	}
	return i
}

// awaits is the line at which a task waits for a condition, or for a mechanism's own sensor.
func (h *Host) awaits(t *task) int {
	switch w := t.wait.(type) {
	case poll:
		if w.asks == nil {
			return 0
		}
		if p := w.asks.Proto; p != nil && p.SourceName == h.program.Name {
			return p.LineDefined
		}
	case watchPart:
	default:
		return 0
	}
	return sandbox.LineIn(t.thread, h.program.Name)
}

// gave remembers a command to a mechanism: where it waits for its end, the command alone.
func (c call) gave(verb robot.Verb, value float64) {
	g := Given{Of: c.host.parts[c.object.index].Name, Call: c.method}
	switch verb {
	case robot.Target:
		g.Call, g.Numbers = "to", []float64{value / liftUnit(c.lift())}
	case robot.Volts:
		if c.GetTop() > 1 { // else its name says that it is 0 V
			g.Numbers = []float64{value}
		}
	}
	c.host.given = append(c.host.given, g)
}

// gavePose remembers where the odometry was told to be, in the field's frame.
func (h *Host) gavePose(p geom.Pose) {
	h.given = append(h.given, Given{Call: "here", Numbers: []float64{p.X / mm, p.Y / mm, p.Heading / deg}})
}
