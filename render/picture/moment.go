package picture

import "chalkfield/render/scene"

// Moment is one moment of a run without lists beside it, as high at any time of the run: title, field, score and time.
// The scene keeps its own furniture.
func Moment(s *scene.Scene, width int) Drawing {
	bare := *s
	f := &bare.Furniture
	f.Time = f.Score() + ",  " + f.Time
	f.Scored, f.Running, f.Legend, f.Events = nil, "", nil, nil
	return Of(&bare, width)
}
