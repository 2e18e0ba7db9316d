package rehearse

import (
	"chalkfield/fields"
	"chalkfield/internal/geom"
	"chalkfield/scripting"
	"chalkfield/scripting/motion"
	"chalkfield/sim"
	"chalkfield/sim/robotfile"
)

// machine lets a routine command a simulated robot: it is scripting.Machine over sim.Robot, and hides the truth.
type machine struct {
	*sim.Robot // Belief, BeliefSpeed, SetBelief, Air
	model      motion.Model
	parts      []scripting.Part
	sensors    []scripting.Sensor
}

func newMachine(r *sim.Robot) *machine {
	m := &machine{Robot: r, model: modelOf(r)}
	for _, p := range r.Spec.Parts {
		part := scripting.Part{Name: p.Name, Kind: string(p.Kind)}
		if p.Lift != nil {
			part.Elevator, part.Low, part.High = p.Lift.Elevator, p.Lift.Low, p.Lift.High
			for _, h := range p.Lift.Heights {
				part.Heights = append(part.Heights, scripting.Height{Name: h.Name, At: h.At})
			}
		}
		m.parts = append(m.parts, part)
	}
	for _, s := range r.Spec.Sensors {
		linear := s.Kind == robotfile.Rotation && r.Spec.Parts[s.Rotation.On].Lift.Elevator
		m.sensors = append(m.sensors, scripting.Sensor{Name: s.Name, Kind: string(s.Kind), Linear: linear})
	}
	return m
}

// modelOf is what the motions compute their default gains from.
func modelOf(r *sim.Robot) motion.Model {
	d, c := r.Spec.Model(), r.Spec.Control
	return motion.Model{
		Mass: d.Mass, Inertia: d.Inertia, Track: d.Track, FreeSpeed: d.FreeSpeed, Volts: d.Volts,
		KV: d.KV, KA: d.KA, TurnKV: d.TurnKV, TurnKA: d.TurnKA, KS: d.KS, TurnKS: d.TurnKS,
		Grip: d.Grip, SideGrip: d.SideGrip, Tip: d.Tip, SideTip: d.SideTip, Pivot: d.Pivot, Period: ControlTick,
		Speed: c.Speed, Accel: c.Accel, TurnRate: c.TurnRate, TurnAccel: c.TurnAccel,
		AlongP: c.AlongP, HeadingP: c.HeadingP, HeadingD: c.HeadingD,
	}
}

func (m *machine) Model() motion.Model                { return m.model }
func (m *machine) DriveVolts(left, right float64)     { m.SetDriveVolts(left, right) }
func (m *machine) WheelSpeeds() (left, right float64) { return m.MeasuredWheelSpeeds() }
func (m *machine) Battery() float64                   { return m.Terminal() }
func (m *machine) Parts() []scripting.Part            { return m.parts }
func (m *machine) Sensors() []scripting.Sensor        { return m.sensors }
func (m *machine) Read(sensor int) float64            { return m.Reading(sensor) }

// frameOf is the field's symmetry as a routine's frame.
func frameOf(f *fields.Field) scripting.Frame {
	low, high := f.Floor.Bounds()
	frame := scripting.Frame{Centre: geom.Vec{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}}
	switch f.Symmetry {
	case fields.HalfTurn:
		frame.Kind = scripting.HalfTurn
	case fields.MirrorX:
		frame.Kind = scripting.MirrorX
	case fields.MirrorY:
		frame.Kind = scripting.MirrorY
	}
	return frame
}

// Do and Look pass commands and states on. Verbs and states are the same on both sides, member by member, which the
// compiler checks for Status and a test for Verb.
func (m *machine) Do(part int, c scripting.Command) {
	m.Robot.Do(part, sim.Command{Verb: sim.Verb(c.Verb), Value: c.Value})
}

func (m *machine) Look(part int) scripting.Status { return scripting.Status(m.Robot.Look(part)) }
