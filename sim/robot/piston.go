package robot

// Piston is a single-acting cylinder on the robot's air.
type Piston struct {
	Bore   float64 `toml:"bore" unit:"m" default:"10 mm" min:"2 mm" max:"100 mm"`
	Stroke float64 `toml:"stroke" unit:"m" default:"25 mm" min:"2 mm" max:"500 mm"`
	Spring float64 `toml:"spring" unit:"N" default:"8 N" min:"0 N" max:"1000 N"` // return spring or rubber band
	// the spring helps the working stroke instead of the return
	Assist bool    `toml:"assist"`
	Time   float64 `toml:"time" unit:"s" default:"120 ms" min:"5 ms" max:"5 s"` // of a stroke
	// between valve and piston, vented before a stroke
	Tubing float64 `toml:"tubing" unit:"m^3" default:"0 ml" min:"0 ml" max:"1 l"`
}

func (r *reader) piston(p string, o *Piston) {
	if r.out.Air == nil {
		r.at.Errorf(p, "a piston needs air, and this robot has none: add a table [air] with volume = \"400 ml\"")
	}
	if o.Spring == 0 && !o.Assist {
		r.at.Errorf(p+".spring", "without a spring the piston never comes back: write \"8 N\"")
	}
}
