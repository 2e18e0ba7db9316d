package viewmodel

import (
	"math"
	"testing"

	"chalkfield/internal/base/geom"
)

func TestAPlaceIsReadAsItIsWritten(t *testing.T) {
	for text, want := range map[string]struct {
		at         geom.Pose
		turned, ok bool
	}{
		"{600, 450}":                           {geom.Pose{X: 0.6, Y: 0.45}, false, true},
		" {x = 600, y = -450, heading = 90}\n": {geom.Pose{X: 0.6, Y: -0.45, Heading: math.Pi / 2}, true, true},
		"{x=1.5,y=0}":                          {geom.Pose{X: 0.0015}, false, true},
		"600, 450, -45":                        {geom.Pose{X: 0.6, Y: 0.45, Heading: -math.Pi / 4}, true, true},
		"{600}":                                {},
		"hello":                                {},
		"":                                     {},
		"{600, 450, 1, 2}":                     {},
		"{1e9, 2}":                             {},
		"{99999999, 0}":                        {},
		"/home/me/600, 450.lua":                {},
	} {
		at, turned, ok := ReadPlace(text)
		if ok != want.ok || turned != want.turned || math.Abs(at.X-want.at.X)+math.Abs(at.Y-want.at.Y) > 1e-12 ||
			math.Abs(at.Heading-want.at.Heading) > 1e-12 {
			t.Errorf("%q: %+v, %v, %v", text, at, turned, ok)
		}
	}
	pose := geom.Pose{X: 1.234, Y: 0.5, Heading: 0.3}
	if at, _, ok := ReadPlace(LuaPose(pose)); !ok || math.Abs(at.X-pose.X)+math.Abs(at.Y-pose.Y) > 1e-3 {
		t.Errorf("%s is read as %+v", LuaPose(pose), at)
	}
}
