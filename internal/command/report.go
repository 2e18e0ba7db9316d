package command

import (
	"fmt"
	"io"
	"strings"

	"chalkfield/fields"
	"chalkfield/internal/record"
	"chalkfield/internal/rehearse"
	"chalkfield/internal/study/part"
	"chalkfield/internal/wholefile"
	"chalkfield/render/scene"
	"chalkfield/render/webpage"
)

// writeReport writes the report of a study.
func writeReport(path string, file *part.File, field *fields.Field) error {
	if err := reportName(path); err != nil {
		return err
	}
	return wholefile.Write(path, func(w io.Writer) error { return webpage.WriteStudy(w, file, field) })
}

// reportRecord writes the report of one rehearsal.
func reportRecord(path string, setup rehearse.Setup, rec *record.Record) error {
	if err := reportName(path); err != nil {
		return err
	}
	mounts := make([]scene.Mount, len(setup.Entrants))
	for i, e := range setup.Entrants {
		mounts[i] = scene.MountOf(e.Robot)
	}
	return wholefile.Write(path, func(w io.Writer) error { return webpage.WriteRun(w, rec, setup.Field, mounts) })
}

func reportName(path string) error {
	if strings.HasSuffix(path, ".html") || strings.HasSuffix(path, ".htm") {
		return nil
	}
	return fmt.Errorf("--report %s: the report is for a browser: write a name that ends in .html", path)
}

// fieldOf finds the field of a study that was merged: the one named, else the embedded one of the same content.
func fieldOf(h record.File, named string) (*fields.Field, error) {
	if named == "" {
		if field, err := fields.OpenEmbedded(strings.TrimSuffix(h.Name, ".toml")); err == nil && field.SHA256 == h.SHA256 {
			return field, nil
		}
		return nil, fmt.Errorf("the report shows the field: name its file with --field %s", h.Name)
	}
	field, err := fields.Find(named)
	if err == nil && field.SHA256 != h.SHA256 {
		err = fmt.Errorf("%s is not the field of this study: its content has SHA-256 %.12s, the study's field %.12s", named, field.SHA256, h.SHA256)
	}
	return field, err
}
