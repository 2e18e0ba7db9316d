package analysis_test

import (
	"strings"

	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/analysis"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/units"
)

func init() {
	analysis.TextOf = func(f *results.File) (string, error) {
		told, err := report.Study(units.Metric, f)
		if err != nil {
			return "", err
		}
		text := &strings.Builder{}
		err = told.Text(text)
		return text.String(), err
	}
}
