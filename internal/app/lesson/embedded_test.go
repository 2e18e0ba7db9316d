package lesson

import (
	"context"
	"io/fs"
	"slices"
	"testing"

	"chalkfield/assets"
	"chalkfield/internal/app/check"
	"chalkfield/internal/base/property"
)

func embedded(t *testing.T) []*Lesson {
	t.Helper()
	lessons, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	return lessons
}

// Every lesson that comes with the program teaches what it says, as `chalkfield check assets/lessons assets/courses`
// shows. Without full length only its solution is looked at, and no trials.
func TestEmbeddedLessonsAreProved(t *testing.T) {
	whole := property.Cases(0, 1) == 1
	for _, l := range embedded(t) {
		t.Run(l.Name, func(t *testing.T) {
			proofs := l.Proofs()
			if !whole {
				proofs = proofs[:1]
			}
			for _, p := range proofs {
				if !whole && !p.Single {
					continue
				}
				j, err := l.Prove(context.Background(), Judging{Single: !whole}, p)
				if err != nil {
					t.Fatal(err)
				}
				if j.State == check.Wrong {
					t.Errorf("%s: %s", p.Name, j.Error)
				}
				for _, s := range j.Shortfalls {
					t.Errorf("%s: expected %s; happened %s, %s", p.Name, s.Expected, s.Happened, s.Place())
				}
			}
		})
	}
}

// The list has every lesson, each after those that it names, and there are as many as a newcomer needs.
func TestTheListHasEveryLesson(t *testing.T) {
	lessons := embedded(t)
	var names []string
	for _, l := range lessons {
		for _, before := range l.After {
			if !slices.Contains(names, before) {
				t.Errorf("%s comes before %s, which it follows", l.Name, before)
			}
		}
		names = append(names, l.Name)
	}
	folders := 0
	for _, all := range []fs.FS{assets.Lessons, assets.Courses} {
		entries, err := fs.ReadDir(all, ".")
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if !e.IsDir() {
				continue
			}
			if folders++; !slices.Contains(names, e.Name()) {
				t.Errorf("%s is in no list.toml", e.Name())
			}
		}
	}
	if courses := len(slices.DeleteFunc(lessons, func(l *Lesson) bool { return l.Kind != Drive })); courses != 7 ||
		folders-courses != 21 {
		t.Errorf("%d courses and %d lessons, want 7 and 21", courses, folders-courses)
	}
}
