package check_test

import (
	"fmt"
	"strings"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/report"
)

func init() {
	check.TextOf = func(o *check.Outcome) string {
		text := &strings.Builder{}
		if err := report.Checks(o).Text(text); err != nil {
			panic(err)
		}
		return text.String()
	}
}

func ExampleOutcome() {
	o := &check.Outcome{}
	o.Add(check.Judged{File: "mine.check.toml", Case: "as planned", State: check.Held, Facts: "12 points"})
	o.Add(check.Judged{File: "mine.check.toml", Case: "in time", State: check.Short, Facts: "12 points",
		Open: "chalkfield open mine.lua --seed 1",
		Shortfalls: []check.Shortfall{{Expected: "the routine is done before 3.50 s", Happened: "done at 3.60 s", T: 3.6,
			File: "mine.lua", Line: 27}}})
	fmt.Print(check.TextOf(o))
	// Output:
	// held   mine.check.toml: as planned (12 points)
	// short  mine.check.toml: in time (12 points)
	//        expected  the routine is done before 3.50 s
	//        happened  done at 3.60 s
	//        at 3.60 s, mine.lua:27
	//        see it    chalkfield open mine.lua --seed 1
	// 2 cases: 1 held, 1 fell short, 0 could not be judged
}
