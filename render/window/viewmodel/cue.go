package viewmodel

import "chalkfield/internal/base/record"

// Cue is what of a drive under way is worth a sound.
type Cue int

const (
	CuePhase Cue = iota // a phase began
	CueMore             // the robot's side has more points
	CueLess             // or fewer
	CueTouch            // the robot met something
)

// cueRest is how long contacts of the robot make no further sound, s: it often meets a thing several times at once.
const cueRest = 0.25

// softest is the closing speed of a contact that is worth one, m/s.
const softest = 0.1

// Cues are those that have come since they were last asked for.
func (d *Model) Cues() []Cue {
	drive := d.drive
	if drive == nil {
		return nil
	}
	if !drive.begun { // what came before at once is not heard
		drive.cued = len(drive.run.Record.Events)
		return nil
	}
	var list []Cue
	if !drive.started {
		drive.started = true
		list = append(list, CuePhase)
	}
	events, scored := drive.run.Record.Events, 0
	side := d.sideShown()
	for i, e := range events {
		known := i < drive.cued
		switch {
		case e.Kind == record.ScoreChange:
			was := 0.0
			if scored > 0 {
				was = drive.run.Scores[scored-1].number(side)
			}
			is := drive.run.Scores[scored].number(side)
			scored++
			if !known && is != was {
				list = append(list, scoreCue(is > was))
			}
		case known:
		case e.Kind == record.PhaseStart:
			list = append(list, CuePhase)
		case e.Kind == record.Contact && e.Robot == 0 && e.Value >= softest && e.T >= drive.touched+cueRest:
			drive.touched = e.T
			list = append(list, CueTouch)
		}
	}
	drive.cued = len(events)
	return list
}

func scoreCue(more bool) Cue {
	if more {
		return CueMore
	}
	return CueLess
}

// number is a side's total.
func (s Score) number(side int) float64 {
	if side < len(s.Totals) {
		return s.Totals[side].Value
	}
	return 0
}
