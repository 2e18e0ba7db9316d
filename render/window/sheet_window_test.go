package window_test

import "testing"

// What is drawn of a frame is only what differs from the one before: nothing else may look different then.
func TestWindowFramesOfChangesAreWholeFrames(t *testing.T) {
	s := newScreen(t)
	var frames, different int
	told(t, s.display, "compare", &frames, &different)
	if frames != 60 || different != 0 {
		t.Errorf("%d frames differ in %d bytes", frames, different)
	}
}
