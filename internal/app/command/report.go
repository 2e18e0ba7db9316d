package command

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/app/alongside"
	"chalkfield/internal/app/rehearse"
	"chalkfield/internal/app/report"
	"chalkfield/internal/app/study/results"
	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/record"
	"chalkfield/internal/base/units"
	"chalkfield/render/scene"
	"chalkfield/render/webpage"
)

// writeReport writes the report of a study.
func writeReport(path string, told *report.Document, file *results.File, field *fields.Field) error {
	return atomicfile.Write(path, func(w io.Writer) error { return webpage.WriteStudy(w, told, file, field) })
}

// reportRecord writes the report of one rehearsal, and of a log beside it, nil for none.
func reportRecord(in units.System, path string, setup rehearse.Setup, rec *record.Record, pair *alongside.Pair) error {
	mounts := make([]scene.Mount, len(setup.Entrants))
	for i, e := range setup.Entrants {
		mounts[i] = scene.MountOf(e.Robot)
	}
	return atomicfile.Write(path, func(w io.Writer) error {
		return webpage.WriteRun(w, in, rec, pair, setup.Field, mounts)
	})
}

// fieldOf finds the field of a study that was merged: the one named, else the one of the same content that is embedded,
// beside the part or here.
func fieldOf(part string, h record.File, named string) (*fields.Field, error) {
	if named == "" {
		name := filepath.Base(h.Name) // a part cannot send us elsewhere
		for _, place := range []string{strings.TrimSuffix(name, ".toml"), filepath.Join(filepath.Dir(part), name), name} {
			if field, err := fields.Find(place); err == nil && field.SHA256 == h.SHA256 {
				return field, nil
			}
		}
		return nil, fmt.Errorf("the report shows the field, and %s, unchanged, is neither embedded nor here nor beside the "+
			"parts: name its file with --field", h.Name)
	}
	field, err := fields.Find(named)
	if err == nil && field.SHA256 != h.SHA256 {
		err = fmt.Errorf("%s is not the field of this study: its content has SHA-256 %.12s, the study's field %.12s", named,
			field.SHA256, h.SHA256)
	}
	return field, err
}
