package viewmodel

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"chalkfield/internal/base/geom"
	"chalkfield/internal/base/property"
	"chalkfield/internal/base/record"
)

// driven builds samples by moving a pose at steady rates: speed along the heading (m/s), turning rate (rad/s), seconds.
func driven(start geom.Pose, legs ...[3]float64) []record.Sample {
	at, t := start, 0.0
	var samples []record.Sample
	add := func(v, w float64) {
		sin, cos := math.Sincos(at.Heading)
		samples = append(samples, record.Sample{T: t, Robots: []record.RobotSample{{True: record.FromGeom(at),
			Velocity: [3]float64{v * cos, v * sin, w}}}})
	}
	for _, leg := range legs {
		for range int(math.Round(leg[2] / record.SamplePeriod)) {
			add(leg[0], leg[1])
			middle := at.Heading + leg[1]*record.SamplePeriod/2
			at.X += leg[0] * record.SamplePeriod * math.Cos(middle)
			at.Y += leg[0] * record.SamplePeriod * math.Sin(middle)
			at.Heading += leg[1] * record.SamplePeriod
			t += record.SamplePeriod
		}
	}
	add(0, 0)
	return samples
}

func TestFitTellsStraightsTurnsCurvesAndRests(t *testing.T) {
	moves := movesOf(driven(geom.Pose{X: 1, Y: 1},
		[3]float64{0.5, 0, 2},             // 1 m ahead
		[3]float64{0, 0, 1},               // a rest
		[3]float64{0, math.Pi / 2, 1},     // a quarter turn
		[3]float64{0.5, 1, math.Pi / 2},   // a quarter circle of radius 0.5 m
		[3]float64{-0.3, 0, 1},            // back 0.3 m
		[3]float64{0, math.Pi / 180, 0.5}, // less than is meant
	), 0)
	kinds := []moveKind{straight, resting, turning, curved, straight}
	if len(moves) < len(kinds) {
		t.Fatalf("%d moves: %+v", len(moves), moves)
	}
	for i, kind := range kinds {
		if moves[i].kind != kind {
			t.Errorf("move %d is of kind %d, want %d: %+v", i, moves[i].kind, kind, moves[i])
		}
	}
	if math.Abs(moves[0].length-1) > 0.011 { // one sample's way
		t.Errorf("first straight is %g m", moves[0].length)
	}
	if math.Abs(moves[2].heading-math.Pi/2) > 0.04 { // one sample's turn
		t.Errorf("turn ends at %g rad", moves[2].heading)
	}
	if arc := math.Pi / 4; math.Abs(moves[3].length-arc) > 0.02 { // chords are shorter than the arc
		t.Errorf("curve is %g m long, the arc %g", moves[3].length, arc)
	}
	if !moves[4].reverse {
		t.Error("the way back is not in reverse")
	}
}

// A base that turns about a point beside its middle is flung a little along as it turns; as a curve that could not be
// driven.
func TestATurnThatSlidesIsATurn(t *testing.T) {
	for _, slide := range []float64{0.35, -0.35} { // m/s, at 5 rad/s: a radius of 70 mm
		moves := movesOf(driven(geom.Pose{}, [3]float64{0.5, 0, 1}, [3]float64{slide, 5, 0.36}, [3]float64{-0.5, 0, 1}), 0)
		if len(moves) != 3 || moves[0].kind != straight || moves[1].kind != turning || moves[2].kind != straight {
			t.Errorf("sliding at %g m/s: %+v", slide, moves)
		}
	}
}

func TestFitOfARobotThatStandsIsOneRest(t *testing.T) {
	moves := movesOf(driven(geom.Pose{}, [3]float64{0, 0, 3}), 0)
	if len(moves) != 1 || moves[0].kind != resting {
		t.Errorf("got %+v", moves)
	}
	if moves := movesOf(nil, 0); len(moves) != 0 {
		t.Errorf("nothing gives %+v", moves)
	}
}

func TestSimplifyStaysWithinItsDistance(t *testing.T) {
	property.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 80).Draw(t, "points")
		path := make([]geom.Vec, n)
		for i := range path {
			path[i] = geom.Vec{X: rapid.Float64Range(-2, 2).Draw(t, "x"), Y: rapid.Float64Range(-2, 2).Draw(t, "y")}
		}
		tolerance := rapid.Float64Range(0.001, 1).Draw(t, "tolerance")
		line := simplified(path, tolerance)
		if line[0] != path[0] || line[len(line)-1] != path[n-1] {
			t.Fatal("the ends moved")
		}
		if !follows(path, line, tolerance+1e-9) {
			t.Fatalf("the line %v leaves a point of the path farther off than %g m", line, tolerance)
		}
	})
}

// follows tells whether a line's points can be matched to a path's, in order, so that each of the others lies within a
// distance of the stretch it is matched to. All matchings are tried, because a path may pass a point twice.
func follows(path, line []geom.Vec, within float64) bool {
	passed := map[int]bool{0: true} // how many of the line's points the path may have passed by now
	for _, v := range path {
		then := map[int]bool{}
		for n := range passed {
			if n < len(line) && v == line[n] {
				then[n+1] = true
			}
			if n > 0 && n < len(line) && geom.DistanceToSegment(v, line[n-1], line[n]) <= within {
				then[n] = true
			}
		}
		passed = then
	}
	return passed[len(line)]
}

func TestFollowsSeesAPointThatIsFarOff(t *testing.T) {
	path := []geom.Vec{{X: 1}, {X: 1}, {Y: 1}, {X: 1}}
	if !follows(path, path, 0) {
		t.Error("a path does not follow itself")
	}
	if follows(path, []geom.Vec{{X: 1}, {X: 1}}, 1.3) {
		t.Error("the third point is 1.41 m off, and that was not seen")
	}
}
