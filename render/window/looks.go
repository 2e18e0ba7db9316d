package window

import (
	"chalkfield/internal/record"
	"chalkfield/render/scene"
)

// look is the form of an event's mark.
type look struct {
	shape  scene.Shape
	hollow bool
}

// eventLooks asks the scene, once, how it marks each kind of event, so that strip, notebook and field agree.
func eventLooks() map[record.Kind]look {
	sample := &record.Record{}
	for _, kind := range []record.Kind{
		record.Contact, record.Pickup, record.Release, record.Scored, record.Unscored, record.Crooked, record.Seated, record.Jammed,
		record.Missed, record.Clamped, record.Unclamped, record.Slipped, record.Stalled, record.Tips, record.Foul, record.Note, record.Warning,
		record.Failure, record.PhaseStart, record.PressedKey,
	} {
		sample.Events = append(sample.Events, record.Event{Kind: kind, Robot: -1, At: &[2]float64{}})
	}
	looks := map[record.Kind]look{}
	picture := scene.Build(scene.Input{Record: sample, Options: scene.Options{Show: scene.Everything, Focus: -1}})
	for _, row := range picture.Furniture.AllEvents {
		looks[row.Kind] = look{row.Shape, row.Hollow}
	}
	return looks
}

// markShape is the mark of a kind; what the scene does not mark is a small hollow disc.
func (g *game) markShape(kind record.Kind) (scene.Shape, bool) {
	if l, ok := g.looks[kind]; ok {
		return l.shape, l.hollow
	}
	return scene.RoundShape, true
}
