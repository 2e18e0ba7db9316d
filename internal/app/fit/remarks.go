package fit

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strings"

	"chalkfield/internal/app/logfile"
	"chalkfield/internal/base/units"
)

// remark says in words what was found, and why not to trust it.
func (e *estimation) remark(out *Result, done map[int]*motion) {
	e.sides(out)
	e.wheelsUnlike(out)
	e.wheelsMean(out)
	e.rests(out)
	e.sensors(out)
	e.spread(out)
	e.lifts(out)
	e.ranAway(out)
	e.doubt(out, done)
}

// How far values may come out from the file's before they are doubted, as factors: those that a data sheet has, and
// frictions, for which most files have what is usual. Common practice, no source.
const (
	mostFromSheet = 2.5
	mostFromUsual = 8.0
)

// ranAway warns of values that are so far from the file's that either the logs or the file say something else than is
// meant, or the logs tell so little that the fit went where nothing held it.
func (e *estimation) ranAway(out *Result) {
	most := map[string]float64{motorPath("free_speed")(e.spec): mostFromSheet,
		motorPath("stall_torque")(e.spec): mostFromSheet,
		motorPath("free_current")(e.spec): mostFromUsual, "drive.drag": mostFromUsual, "drive.viscous": mostFromUsual}
	for _, r := range e.active {
		p := out.fitted(r.name())
		if p == nil || most[p.Key] == 0 || !(p.Before > 0) || !p.clear(p.Before) {
			continue
		}
		if times := p.After / p.Before; times > most[p.Key] || times < 1/most[p.Key] {
			out.warn("%s came out at %.2g times the file's, so far off as no file should be: are the logs' travel and volts in "+
				"the units that their columns say (cm and mm are a factor of 10), and are gear and per_side the file's? If they "+
				"are, these logs tell too little of it: %s, and fit again", p.Key, times, r.cure)
		}
	}
}

// lifts says that they are not fitted.
func (e *estimation) lifts(out *Result) {
	for _, part := range e.spec.Parts {
		logged := func(r *recording) bool { return r.log.Column(logfile.Quantity{Name: part.Name, SI: "V"}) != nil }
		if part.Lift != nil && slices.ContainsFunc(e.all, logged) {
			out.Unclear = append(out.Unclear, Unclear{Keys: []string{part.Name},
				Why:  "its volts are in the logs, but lifts are not fitted: its keys stay as they are",
				Cure: "rehearse move_" + part.Name + ".lua with --log-as, and compare its position with the log's"})
		}
	}
}

func (out *Result) find(format string, args ...any) {
	out.Findings = append(out.Findings, fmt.Sprintf(format, args...))
}

func (out *Result) warn(format string, args ...any) {
	out.Warnings = append(out.Warnings, fmt.Sprintf(format, args...))
}

// parameter is one of the result, nil if it has none of the key or did not fit it.
func (out *Result) fitted(key string) *Parameter {
	i := slices.IndexFunc(out.Parameters, func(p Parameter) bool { return p.Key == key && p.State == Fitted })
	if i < 0 {
		return nil
	}
	return &out.Parameters[i]
}

// clear tells whether an interval leaves a value out.
func (p *Parameter) clear(value float64) bool { return value < p.Low || value > p.High }

// sides tells of motors that are not alike, and of a robot that is slower than its file says.
func (e *estimation) sides(out *Result) {
	if left, right := out.fitted("drive.left_push"), out.fitted("drive.right_push"); left != nil && right != nil {
		off := left.After/right.After - 1
		weak, strong := "left", "right"
		if off > 0 {
			weak, strong, off = "right", "left", right.After/left.After-1
		}
		if off = -off; off > 0.01 && left.clear((left.After+right.After)/2) {
			out.find("the %s side pushes %.1f %% less than the %s one: look for a motor that drags, a loose screw, a bent axle",
				weak, 100*off, strong)
		}
	}
	p := out.fitted(motorPath("free_speed")(e.spec))
	if p != nil && p.clear(p.Before) && math.Abs(p.After/p.Before-1) > 0.02 {
		word := "faster"
		if p.After < p.Before {
			word = "slower"
		}
		out.find("free of load the motors turn %.1f %% %s than the file says", 100*math.Abs(p.After/p.Before-1), word)
	}
	if p := out.fitted("drive.latency"); p != nil && p.Low > 0 {
		e.lateness(out, p)
	}
}

// lateness says how late the robot is, and what of that are its sensors.
func (e *estimation) lateness(out *Result, p *Parameter) {
	if e.sooner == 0 {
		out.find("the robot follows its volts %.0f ms late: its controllers, or its sensors and its log, which these logs "+
			"do not tell apart; drive.latency has all of it", p.After*1000)
		return
	}
	out.find("the robot follows its volts %.0f ms late, and its battery feels the motors some %.0f ms before the sensors "+
		"say that it moves: so late are these. drive.latency has all of it, for ideal sensors; where yours in the file have "+
		"a latency, take that off drive.latency", p.After*1000, e.sooner*1000)
}

// wheelsUnlike tells of wheels of unequal size, by what a straight drive comes to.
func (e *estimation) wheelsUnlike(out *Result) {
	left, right := out.fitted("wheels.radius left"), out.fitted("wheels.radius right")
	if left == nil || right == nil {
		return
	}
	share, side := right.After/left.After-1, "left"
	if share < 0 {
		share, side = -share, "right"
	}
	if share < 0.001 {
		return
	}
	within := ""
	if j := slices.IndexFunc(e.active, isSides); j >= 0 {
		half := wide * math.Sqrt(e.covariance().At(j, j))
		within = fmt.Sprintf(" (95 %% between %.2f and %.2f %%)", 100*math.Max(0, share-half), 100*(share+half))
	}
	track := e.apply(e.active, e.numbers).spec.PlainTrack()
	larger := map[string]string{"left": "right", "right": "left"}[side]
	out.find("the %s wheels are larger by %.2f %%%s: with both sides turning alike the robot drives a curve to the %s, "+
		"%.0f mm aside after a metre", larger, 100*share, within, side, 1000*share/(2*track))
}

// wheelsMean tells which radius stands behind the logs' travel where the new file no longer has it.
func (e *estimation) wheelsMean(out *Result) {
	mean := func(r *row) bool { return slices.Contains(r.takes, endAlong) && slices.Contains(r.keys, radiusKeys[0]) }
	unknown := func(r *recording) bool { return r.log.Wheel == 0 }
	if slices.ContainsFunc(e.active, mean) && slices.ContainsFunc(e.recordings(), unknown) {
		out.find("the logs' travel is taken as made with the file's wheels: before you fit the new file to these logs, "+
			"write wheel_diameter = %q into log.toml beside them", units.Like("90 mm", 2*meanRadius(e.spec), 0, "m"))
	}
}

// rests tells what the motors do at 0 V, where a log differs from the file.
func (e *estimation) rests(out *Result) {
	var other []string
	for _, r := range e.recordings() {
		ordered := r.coasts && strings.HasPrefix(path.Base(r.log.Name), "step_coast") // by the test drive itself
		if r.coasts != e.spec.Drive.Coasts && !ordered {
			other = append(other, path.Base(r.log.Name))
		}
	}
	if len(other) == 0 {
		return
	}
	does, says := "rolls out (coasts)", "brake"
	if e.spec.Drive.Coasts {
		does, says = "is braked", "coast"
	}
	out.find("at 0 V the robot %s in %s, and the file says rest = %q: each log was taken as it is", does,
		strings.Join(other, ", "), says)
}

// recordings are the logs that have drives.
func (e *estimation) recordings() (list []*recording) {
	for _, d := range e.drives {
		if !slices.Contains(list, d.recording) {
			list = append(list, d.recording)
		}
	}
	return list
}

// Residuals are called no noise when more than this is left of the speeds, as a share of them, and it is either several
// times what the sensors' noise makes, or neighbours are alike: of independent ones 2 is expected (Durbin & Watson,
// Biometrika 37 (1950) 409; from memory), and the differences of a travel with noise have more.
const (
	leftOver = 0.01
	severals = 3.0
	watson   = 1.5
)

// doubt says why not to trust the result.
func (e *estimation) doubt(out *Result, done map[int]*motion) {
	if e.unfinished {
		out.warn("the fit had not come to an end after %d rounds: its values may still move", e.rounds)
	}
	for _, r := range e.all {
		if r.unused != "" {
			out.warn("%s: not used: %s", r.log.Name, r.unused)
		}
	}
	for _, r := range e.recordings() {
		for _, odd := range r.odd {
			out.warn("%s: %s", r.log.Name, odd)
		}
	}
	var off, size, steps, squares, noise float64
	for i, d := range e.drives {
		for _, s := range d.signals {
			if s.kind != leftSpeed && s.kind != rightSpeed {
				continue
			}
			before := math.NaN()
			for k, p := range done[i].cells(s.kind, d.edges) {
				r := p - s.values[k]
				if r != r {
					continue
				}
				off, size = off+float64(r*r), size+float64(s.values[k]*s.values[k])
				noise += float64(s.pure * s.pure)
				if before == before {
					steps, squares = steps+float64((r-before)*(r-before)/(s.noise*s.noise)), squares+float64(r*r/(s.noise*s.noise))
				}
				before = r
			}
		}
	}
	rms, times, d := math.Sqrt(off/size), math.Sqrt(off/noise), steps/squares
	if rms > leftOver && (times > severals || d < watson) {
		out.warn("what is left over is not noise: after the fit the speeds are still off by %.1f %% (rms), %.1f times what "+
			"the sensors' noise makes, and for a while the same way, which noise is not (Durbin-Watson %.1f; noise has 2 or "+
			"more). The real robot does something that the simulated one does not: the report's graphs show where; the "+
			"intervals take that for chance", 100*rms, times, d)
	}
}
