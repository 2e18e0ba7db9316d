package program

import (
	"bytes"
	"testing"

	"chalkfield/internal/app/rehearse"
	"chalkfield/scripting"
	"chalkfield/scripting/talk"
)

// page is a program that answers with lines, one after another, whatever is asked; %n in them is the tick's number.
type page struct{ lines [][]byte }

func (p *page) Begin(talk.Begin) error { return nil }
func (p *page) End(talk.End)           {}

func (p *page) Ask(t talk.Tick) (answer talk.Answer, err error) {
	if len(p.lines) == 0 {
		return talk.Answer{Answer: "commands", To: t.Number, Done: true}, nil
	}
	line := p.lines[0]
	p.lines = p.lines[1:]
	err = decode(line, &answer)
	answer.To = t.Number // who cannot count is another test
	return answer, err
}

// Whatever a program answers, the rehearsal goes on, with one failure at most.
func FuzzAnswers(f *testing.F) {
	for _, seed := range []string{
		`{"answer": "commands", "commands": [{"do": "drive.ahead", "with": [300, {"speed": 500}], "id": 1}], "wait": 9}`,
		`{"commands": [{"do": "lift.reach", "with": ["rack", 2], "id": 1}, {"do": "claw.out"}], "again": true}
{"done": true}`,
		`{"commands": [{"do": "drive.trace", "with": [[[900, 700], [1200, 900]]]}, {"do": "note", "with": ["hello"]}]}`,
		`{"commands": [{"do": "here", "with": [{"x": 1, "y": 2, "heading": 3}]}]}`,
		`{"commands": [{"do": "drive.face", "with": [90, {"way": "left"}]}]}`,
		`{"commands": [{"do": "drive.volts", "with": [1e308, null]}]}`, `{"wait": -1}`, `{"wait": 1e400}`,
		"null", "[]", "\xff",
		`{"commands": [{"do": "signal", "with": ["error", 1.5, "mm"], "file": "robot.py", "line": 3}], ` +
			`"file": "a/b", "line": 0}`,
		`{"commands": [{"do": "drive.rate", "with": [[[[[[{}]]]]]]}, {}, {"do": "."}, {"do": "drive."}]}`,
		`{"commands": [{"do": "drive.dock", "with": [600, 900, 0, {"background": true, "gains": {"along": 1}}], "id": -7}]}`,
	} {
		f.Add([]byte(seed))
	}
	s, err := specOf("")
	if err != nil {
		f.Fatal(err)
	}
	parts, err := scripting.Hears(s.Robot)
	if err != nil {
		f.Fatal(err)
	}
	ready := talk.Ready{Phases: []string{"auto"}, Start: &talk.Pose{X: 600, Y: 600}}
	f.Fuzz(func(t *testing.T, data []byte) {
		routine, err := scripting.NewForeign("fuzz", ready, parts, func() (scripting.Guest, error) {
			return &page{bytes.Split(data, []byte("\n"))}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		r, err := rehearse.New(rehearse.Setup{Field: s.Field, Seed: 1, Nominal: true, Sparse: true,
			Entrants: []rehearse.Entrant{{Robot: s.Robot, Routine: routine}}})
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		for range 60 { // 0.6 s
			r.Tick()
		}
		r.Finish()
		rec := r.Record()
		if failed := failures(rec); len(failed) > 1 {
			t.Errorf("%d failures: %v", len(failed), failed)
		}
	})
}
