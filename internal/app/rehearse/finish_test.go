package rehearse

import (
	"reflect"
	"testing"
)

// A session ended before its time has a sheet and a last sample of that moment; ended twice, or after its own end,
// nothing changes.
func TestFinishGivesTheSheetOfTheMoment(t *testing.T) {
	setup := demo(t)
	r, err := New(setup)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	for r.Now() < 10 {
		r.Tick()
	}
	if len(r.Record().Sheet.Rows) != 0 {
		t.Fatal("there is a sheet already")
	}
	r.Finish()
	sheet := r.Record().Sheet
	samples := r.Record().Samples
	if len(sheet.Rows) == 0 || len(sheet.Left) != len(setup.Entrants) || samples[len(samples)-1].T < 9.98 {
		t.Errorf("sheet %+v, last sample at %g s", sheet, samples[len(samples)-1].T)
	}
	events := len(r.Record().Events)
	r.Finish()
	if r.Tick() || len(r.Record().Events) != events || len(r.Record().Samples) != len(samples) {
		t.Error("it goes on after its end")
	}
	whole, err := New(setup)
	if err != nil {
		t.Fatal(err)
	}
	defer whole.Close()
	for whole.Tick() {
	}
	want := whole.Record().Sheet
	if whole.Finish(); !reflect.DeepEqual(whole.Record().Sheet, want) {
		t.Error("the sheet of a whole session has changed")
	}
}
