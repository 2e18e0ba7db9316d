package scene

import "testing"

func TestEveryOverlayHasOneName(t *testing.T) {
	var all Overlay
	seen := map[string]bool{}
	for i, name := range overlayNames {
		o := Overlay(1 << i)
		if o.String() != name || name == "" || seen[name] {
			t.Errorf("overlay %d is named %q, want %q, its own", i, o, name)
		}
		seen[name] = true
		all |= o
	}
	if all != Everything {
		t.Errorf("the names cover %v, want %v", all, Everything)
	}
}

func TestLayersEndBeforeTheFurniture(t *testing.T) {
	if Overlay(1<<layerCount) != ScoreBox {
		t.Errorf("layerCount is %d, but the score box is overlay %v", layerCount, ScoreBox)
	}
}
