package record

// A record is samples for 99 of 100 bytes, and the longest has 180,000 of them. To read them with encoding/json took
// three times as long and left as much garbage again; so their lines have a codec of their own, which says each member
// once for writing and reading. A reader takes the members in the order in which they are written, and nothing else.

const sampleBegins = `{"sample":`

// sample is a whole line: "t" is s from the start of the session, "r" the robots, "b" the bodies that changed.
func (c *codec) sample(s *Sample) {
	c.mark(sampleBegins + `{"t":`)
	c.number(&s.T)
	c.mark(`,"r":[`)
	list(c, &s.Robots, &c.robots, c.robot)
	if c.given(`,"b":[`, len(s.Bodies) > 0) {
		list(c, &s.Bodies, &c.bodies, c.body)
	}
	c.mark("}}\n")
}

func (c *codec) robot(r *RobotSample) {
	c.numbers(`{"p":[`, r.True[:])
	c.numbers(`,"v":[`, r.Velocity[:])
	c.numbers(`,"q":[`, r.Belief[:])
	c.numbers(`,"w":[`, r.Want[:])
	c.numbers(`,"wh":[`, r.Wheels[:])
	c.numbers(`,"u":[`, r.Volts[:])
	if c.given(`,"k":`, r.Asked != nil) {
		if r.Asked == nil {
			r.Asked = new([2]float64)
		}
		c.numbers("[", r.Asked[:])
	}
	c.numbers(`,"i":[`, r.Amps[:])
	c.mark(`,"e":`)
	c.number(&r.Battery)
	c.numbers(`,"s":[`, r.Slip[:])
	c.mark(`,"d":"`)
	c.activity(&r.Doing)
	c.mark(`"`)
	if c.given(`,"l":[`, len(r.Lines) > 0) {
		list(c, &r.Lines, &c.lines, c.integer)
	}
	if c.given(`,"m":[`, len(r.Parts) > 0) {
		list(c, &r.Parts, &c.parts, c.part)
	}
	if c.given(`,"a":`, r.Air != 0) {
		c.number(&r.Air)
	}
	if c.given(`,"z":[`, len(r.Sensors) > 0) {
		list(c, &r.Sensors, &c.readings, c.number)
	}
	news := r.New()
	if c.given(`,"c":[`, len(news.Plan) > 0) {
		list(c, &news.Plan, &c.points, func(at *[2]float64) { c.numbers("[", at[:]) })
	}
	if c.given(`,"g":[`, len(news.Said) > 0) {
		list(c, &news.Said, &c.said, c.signal)
	}
	if c.reads {
		r.News = news.Told()
	}
	c.mark("}")
}

func (c *codec) part(p *PartSample) {
	c.mark(`{"u":`)
	c.number(&p.Volts)
	c.mark(`,"x":`)
	c.number(&p.Value)
	c.mark(`,"b":`)
	c.integer(&p.Body)
	if out := c.given(`,"o":true`, p.Out); c.reads {
		p.Out = out
	}
	c.mark("}")
}

func (c *codec) signal(s *Said) {
	c.mark("[")
	c.integer(&s.Signal)
	c.mark(",")
	c.number(&s.Value)
	c.mark("]")
}

func (c *codec) body(b *BodySample) {
	c.mark(`{"id":`)
	c.integer(&b.ID)
	c.numbers(`,"p":[`, b.Pose[:])
	c.mark(`,"in":`)
	c.integer((*int)(&b.In))
	c.mark("}")
}

// activities are all there are; "" is that of a sample that nothing was put in.
var activities = []Activity{Moving, Turning, Waiting, Mechanism, Idle, ""}

func (c *codec) activity(a *Activity) {
	for _, known := range activities {
		if c.given(string(known), *a == known) {
			if c.reads {
				*a = known
			}
			return
		}
	}
}
