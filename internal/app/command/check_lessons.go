package command

import (
	"context"
	"strings"

	"chalkfield/internal/app/check"
	"chalkfield/internal/app/lesson"
)

// lessonProofs are what shows that the lessons in some folders are good ones.
type lessonProofs struct {
	lessons []*lesson.Lesson
	folders []string // of the faults
	faults  []error  // of lessons that cannot be read
}

// take takes a folder that is a lesson.
func (p *lessonProofs) take(folder string) bool {
	if !lesson.Is(folder) {
		return false
	}
	lessons, err := lesson.Folder(folder)
	if p.lessons = append(p.lessons, lessons...); err != nil {
		p.folders, p.faults = append(p.folders, folder), append(p.faults, err)
	}
	return true
}

// each calls a function for each proof whose name has a text in it.
func (p *lessonProofs) each(only string, do func(*lesson.Lesson, lesson.Proof) error) error {
	for _, l := range p.lessons {
		for _, proof := range l.Proofs() {
			if strings.Contains(proofName(l, proof), only) {
				if err := do(l, proof); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func proofName(l *lesson.Lesson, p lesson.Proof) string { return l.Home + ": " + p.Name }

func (p *lessonProofs) names(only string) (list []string) {
	_ = p.each(only, func(l *lesson.Lesson, proof lesson.Proof) error {
		list = append(list, proofName(l, proof))
		return nil
	})
	return list
}

// judge adds to an outcome what the proofs show.
func (p *lessonProofs) judge(ctx context.Context, s streams, c checkCommand, out *check.Outcome) error {
	for i, err := range p.faults {
		out.Add(check.Judged{File: p.folders[i], State: check.Wrong, Error: err.Error()})
	}
	return p.each(c.Only, func(l *lesson.Lesson, proof lesson.Proof) error {
		judged, err := l.Prove(ctx, lesson.Judging{Workers: c.Workers, In: s.units}, proof)
		out.Add(judged)
		return err
	})
}
