package sim

import (
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/mathext"
)

// Against Fukushima's rational approximations (J. Comput. Appl. Math. 282, 2015), as gonum has them. Near m = 1 what is
// left of 1 - sum has lost as many digits as K is greater than E.
func TestEllipticIntegralsAreThoseOfAnotherMethod(t *testing.T) {
	for i := range 100000 {
		m := float64(i) / 100000
		k, e := elliptic(m)
		if want := mathext.CompleteK(m); !scalar.EqualWithinRel(k, want, 1e-14) {
			t.Fatalf("K(%v) = %.17g, not %.17g", m, k, want)
		}
		if want := mathext.CompleteE(m); !scalar.EqualWithinRel(e, want, 1e-14) {
			t.Fatalf("E(%v) = %.17g, not %.17g", m, e, want)
		}
	}
	m := 1 - 2e-6 // the nearest to 1 that discShares asks for
	k, e := elliptic(m)
	if !scalar.EqualWithinRel(k, mathext.CompleteK(m), 1e-14) || !scalar.EqualWithinRel(e, mathext.CompleteE(m), 1e-14) {
		t.Errorf("K, E(%v) = %.17g, %.17g", m, k, e)
	}
}
