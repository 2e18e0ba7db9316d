package viewmodel

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"chalkfield/internal/base/atomicfile"
	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/record"
)

// Ghost is the best drive of a robot with a routine in a session of a field: by its side's points, then by when it had
// them; or the best of a course. Later drives see it, pale.
type Ghost struct {
	Points  float64       `json:"points"`            // at the end
	Seconds float64       `json:"seconds,omitempty"` // of a course: what it took, with what touches add; else 0
	Reached float64       `json:"reached"`           // s: from when on it had them
	Path    []record.Pose `json:"path"`              // where the robot was, m and rad, each ghostPeriod from the start
	Scores  [][2]float64  `json:"scores"`            // s, points from then on
}

// ghostPeriod is between two poses of a ghost, s.
const ghostPeriod = 2 * record.SamplePeriod

// GhostOf is a drive as the ghost of later ones; nil: it scored nothing.
func GhostOf(run *Run) *Ghost {
	rec := run.Record
	if len(rec.Samples) == 0 || len(rec.Header.Robots) == 0 {
		return nil
	}
	side := rec.Header.Robots[0].Side
	g := &Ghost{}
	for _, s := range run.Scores {
		if points := s.number(side); points != g.Points {
			g.Points, g.Reached = points, s.T
			g.Scores = append(g.Scores, [2]float64{s.T, points})
		}
	}
	if !(g.Points > 0) {
		return nil
	}
	g.follow(rec)
	return g
}

// follow takes the way of a drive.
func (g *Ghost) follow(rec *record.Record) {
	for i := 0; i < len(rec.Samples); i += 2 {
		pose := rec.Samples[i].Robots[0].True
		for k := range pose {
			pose[k] = math.Round(1e4*pose[k]) / 1e4
		}
		g.Path = append(g.Path, pose)
	}
}

// Beats reports whether the ghost is better than another, nil for none.
func (g *Ghost) Beats(other *Ghost) bool {
	switch {
	case g == nil || other == nil:
		return g != nil
	case g.Points != other.Points:
		return g.Points > other.Points
	}
	return g.Reached < other.Reached
}

// At is where the ghost's robot is at a time; after its end it stands.
func (g *Ghost) At(t float64) geom.Pose {
	i := min(max(int(math.Round(t/ghostPeriod)), 0), len(g.Path)-1)
	return g.Path[i].Geom()
}

// PointsAt is what it had by a time.
func (g *Ghost) PointsAt(t float64) float64 {
	points := 0.0
	for _, s := range g.Scores {
		if s[0] <= t+1e-9 {
			points = s[1]
		}
	}
	return points
}

// String is "23 points after 41.2 s".
func (g *Ghost) String() string { return fmt.Sprintf("%g points after %.1f s", g.Points, g.Reached) }

// GhostName is the file of the ghosts of a session: another field, robot or routine has another.
func (d *Model) GhostName(session string) string {
	field, robot, routine := d.Setup.Field.SHA256, "", ""
	if first := d.Setup.Entrants[0]; first.Robot != nil {
		robot = first.Robot.SHA256
	}
	if program := d.Setup.Entrants[0].Routine; program != nil {
		routine = program.SHA256
	}
	sum := sha256.Sum256([]byte(strings.Join([]string{field, robot, routine, session}, "\n")))
	return hex.EncodeToString(sum[:12]) + ".json"
}

// LoadGhost reads a ghost; nil: there is none, or the file is none that can be read, as when it was cut or changed by
// hand. Then the next drive is the best.
func LoadGhost(path string) *Ghost {
	data, err := atomicfile.Read(path, atomicfile.Window)
	if err != nil {
		return nil
	}
	g := &Ghost{}
	if json.Unmarshal(data, g) != nil || !(g.Points > 0 || g.Seconds > 0) || len(g.Path) == 0 {
		return nil
	}
	return g
}

// Save writes the ghost whole, and makes its folder where needed.
func (g *Ghost) Save(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return atomicfile.Write(path, func(out io.Writer) error { return json.NewEncoder(out).Encode(g) })
}

// ForgetGhost takes a ghost's file away.
func ForgetGhost(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// Race puts the best drive so far beside the one under way; nil: there is none.
func (d *Model) Race(g *Ghost) {
	if d.drive != nil {
		d.drive.ghost = g
	}
}

// Ghost is the best drive beside the one under way; nil: there is none.
func (d *Model) Ghost() *Ghost {
	if d.drive == nil {
		return nil
	}
	return d.drive.ghost
}
