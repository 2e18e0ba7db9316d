package sim

import (
	"math/rand/v2"
	"slices"

	"chalkfield/sim/sensing"
)

// lookout is what an optical sensor needs that tells how a piece looks. A look is 1 and the index of the first of the
// field's pieces that has the same kind and side; 0 is none.
type lookout struct {
	known  []float64  // looks that there are
	chance *rand.Rand // of mistakes, nil: none
}

func (r *Robot) newLookout(name string, mistakes float64) *lookout {
	l := &lookout{}
	for _, b := range r.world.pieces() {
		if look := r.world.look(b); !slices.Contains(l.known, look) {
			l.known = append(l.known, look)
		}
	}
	if mistakes > 0 && !r.world.nominal {
		l.chance = sensing.Stream(r.world.seed, name+" mistakes")
	}
	return l
}

// pieces are those of the field.
func (w *World) pieces() []*Body { return w.bodies[:len(w.field.Pieces)] }

// look of a piece; nil has none.
func (w *World) look(b *Body) float64 {
	if b == nil {
		return 0
	}
	first := slices.IndexFunc(w.pieces(), func(o *Body) bool { return o.Kind == b.Kind && o.Side == b.Side })
	return float64(first + 1)
}

// mistake is a look that is taken for another one, all others alike.
func (l *lookout) mistake(look, mistakes float64) float64 {
	if look == 0 || l.chance == nil || len(l.known) < 2 || l.chance.Float64() >= mistakes {
		return look
	}
	other := l.known[l.chance.IntN(len(l.known)-1)]
	if other == look {
		other = l.known[len(l.known)-1]
	}
	return other
}
