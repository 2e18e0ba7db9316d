package robot

import (
	"math"
	"strings"

	"chalkfield/internal/base/geom"
)

// End is where a mechanism takes a piece or a goal, or lets one go.
type End struct {
	Does  string    // in words before the side that it is at
	Short string    // the same beside the mechanism's name; "": the name says it
	At    geom.Pose // robot frame, heading out of the robot
	In    bool      // things come in here
	More  string    // words after the side
	Feeds bool      // another mechanism takes over what comes here
}

// ended are mechanisms with ends.
type ended interface{ ends(*Robot) []End }

// Ends are those of a part: none, where it has none or its file is not whole yet.
func (p Part) Ends(r *Robot) []End {
	if e, is := p.Spec().(ended); is {
		return e.ends(r)
	}
	return nil
}

// EndWords says what a part does where: "takes pieces in at the back".
func (p Part) EndWords(r *Robot) string {
	var says []string
	for _, e := range p.Ends(r) {
		says = append(says, e.Does+" the "+e.Side()+e.More)
	}
	return strings.Join(says, ", ")
}

// sides are those of a robot, counter-clockwise from its front.
var sides = [...]string{"front", "front left", "left", "back left", "back", "back right", "right", "front right"}

// Side is the one that the end faces, of eight.
func (e End) Side() string {
	eighths := int(math.Round(e.At.Heading / (math.Pi / 4)))
	return sides[(eighths%len(sides)+len(sides))%len(sides)]
}

func (in *Intake) ends(*Robot) []End {
	if len(in.Mouth) < 3 {
		return nil
	}
	at := in.Mouth.Centroid()
	return []End{{Does: "takes pieces in at", Short: "in", In: true, At: geom.Pose{X: at.X, Y: at.Y, Heading: in.Facing}}}
}

func (c *Conveyor) ends(r *Robot) []End {
	out := End{Does: "carries pieces to", Short: "out", At: c.Out}
	for _, p := range r.Parts {
		if p.Scorer != nil && p.Scorer.From >= 0 && p.Scorer.From < len(r.Parts) && r.Parts[p.Scorer.From].Conveyor == c {
			out.More, out.Feeds = ", to bot."+p.Name, true
		}
	}
	return []End{out}
}

func (s *Scorer) ends(r *Robot) []End {
	out := End{Does: "puts pieces into a fixed goal at", Short: "out", At: s.At}
	if s.Clamp >= 0 && s.Clamp < len(r.Parts) {
		out.More = ", or into the one that bot." + r.Parts[s.Clamp].Name + " holds"
	}
	return []End{out}
}

func (c *Clamp) ends(*Robot) []End { return []End{{Does: "takes a goal at", At: c.At, In: true}} }

func (c *Claw) ends(*Robot) []End { return []End{{Does: "takes a piece at", At: c.At, In: true}} }

func (g *Gate) ends(*Robot) []End {
	at := g.At
	if g.Into < 0 {
		at = g.Out
	}
	return []End{{Does: "throws pieces out at", Short: "out", At: at}}
}
