package scene

import "testing"

func TestEveryOverlayHasOneName(t *testing.T) {
	var all Overlay
	for i, name := range OverlayNames() {
		o, err := ParseOverlay(name)
		if err != nil || o != 1<<i || o.String() != name {
			t.Errorf("%q reads as %v (%v)", name, o, err)
		}
		all |= o
	}
	if all != Everything {
		t.Errorf("the names cover %v, want %v", all, Everything)
	}
	if _, err := ParseOverlay("glow"); err == nil {
		t.Error("an unknown name was read")
	}
}

func TestLayersEndBeforeTheFurniture(t *testing.T) {
	if Overlay(1<<layerCount) != ScoreBox {
		t.Errorf("layerCount is %d, but the score box is overlay %v", layerCount, ScoreBox)
	}
}
