package portable_test

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash"
	"math"
	"math/rand/v2"
	"testing"

	"chalkfield/internal/base/portable"
)

// function is one of the package, with arguments drawn for it. Functions of one argument leave the second alone.
type function struct {
	name  string
	f     func(x, y float64) float64
	gos   func(x, y float64) float64
	draw  func(r *rand.Rand) (x, y float64)
	ulps  float64 // most that Go's own, another method here or assembly there, may differ
	bytes string  // of the first 16 of the hash over a million results
}

func one(f func(float64) float64) func(x, y float64) float64 {
	return func(x, _ float64) float64 { return f(x) }
}

func span(low, high float64) func(r *rand.Rand) (x, y float64) {
	return func(r *rand.Rand) (x, y float64) { return low + float64((high-low)*r.Float64()), 0 }
}

// sized draws numbers of both signs from a thousandth of a millionth to a thousand million.
func sized(r *rand.Rand) float64 {
	return math.Ldexp(r.Float64()-0.5, r.IntN(60)-30)
}

func both(r *rand.Rand) (x, y float64) { return sized(r), sized(r) }

func single(r *rand.Rand) (x, y float64) { return sized(r), 0 }

func positive(r *rand.Rand) (x, y float64) { return math.Abs(sized(r)), 0 }

func powers(r *rand.Rand) (x, y float64) {
	switch r.IntN(3) {
	case 0:
		return sized(r), float64(r.IntN(9) - 4)
	case 1:
		return math.Abs(sized(r)), float64(8*r.Float64()) - 4
	}
	return r.Float64(), float64(400*r.Float64()) - 200
}

var functions = []function{
	{"Acos", one(portable.Acos), one(math.Acos), span(-1, 1), 0, "5555d41796ed968a"},
	{"Asin", one(portable.Asin), one(math.Asin), span(-1, 1), 0, "e02f47f8771f6f74"},
	{"Atan", one(portable.Atan), one(math.Atan), single, 0, "1472b71dab85e82f"},
	{"Atan2", portable.Atan2, math.Atan2, both, 0, "55693628e760ca88"},
	{"Cos", one(portable.Cos), one(math.Cos), single, 0, "e86418a4d0f56fe6"},
	{"Cosh", one(portable.Cosh), one(math.Cosh), span(-30, 30), 4, "90704c4cf7bfde4f"},
	{"Exp", one(portable.Exp), one(math.Exp), span(-745, 709), 4, "b273970a7458eb26"},
	{"Expm1", one(portable.Expm1), one(math.Expm1), span(-40, 40), 0, "979b682199490a37"},
	{"Hypot", portable.Hypot, math.Hypot, both, 2, "dab3d2b7deb9d0a7"},
	{"Log", one(portable.Log), one(math.Log), positive, 1, "8c8775089f796258"},
	{"Log10", one(portable.Log10), one(math.Log10), positive, 2, "86aa96a99ea1ad3f"},
	{"Pow", portable.Pow, math.Pow, powers, 8, "0072e2f914c98c7b"},
	{"Sin", one(portable.Sin), one(math.Sin), single, 0, "71fbfe0d22303fd8"},
	{"Sinh", one(portable.Sinh), one(math.Sinh), span(-30, 30), 4, "1cd46369d3e65706"},
	{"Tan", one(portable.Tan), one(math.Tan), single, 32, "6784a6ade974869b"}, // Go takes tan x = x below 1e-7
	{"Tanh", one(portable.Tanh), one(math.Tanh), span(-3, 3), 4, "0e26b35a5a319322"},
}

const count = 1_000_000

// The hashes were printed by this test on amd64. They hold on every processor, or the package has failed its purpose.
func TestAMillionResultsHaveTheSameBitsEverywhere(t *testing.T) {
	for _, f := range functions {
		if got := hashOf(f); got != f.bytes {
			t.Errorf("%s: %s, not %s", f.name, got, f.bytes)
		}
	}
}

func hashOf(f function) string {
	r, sum := rand.New(rand.NewPCG(1, 2)), sha256.New()
	for range count {
		x, y := f.draw(r)
		write(sum, f.f(x, y))
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

func write(sum hash.Hash, x float64) {
	var b [8]byte
	binary.LittleEndian.PutUint64(b[:], math.Float64bits(x))
	sum.Write(b[:])
}

// fuses is whether this processor's programs round x*y + z once.
func fuses() bool {
	x := 1 + portable.Sin(1)
	return x*x-float64(x*x) != 0
}

// Go's own functions, another method here or assembly there, are near; and the same where nothing is fused and ulps is
// 0.
func TestResultsAreGosOwn(t *testing.T) {
	for _, f := range functions {
		r := rand.New(rand.NewPCG(3, 4))
		for range 100_000 {
			x, y := f.draw(r)
			got, want := f.f(x, y), f.gos(x, y)
			ulp := math.Nextafter(math.Abs(want), math.Inf(1)) - math.Abs(want)
			most := f.ulps
			if fuses() {
				most = max(4, 2*f.ulps)
			}
			if off := math.Abs(got - want); off > most*ulp && got != want {
				t.Errorf("%s(%v, %v) = %v, not %v", f.name, x, y, got, want)
				break
			}
		}
	}
}

// 1074 ln 2. Go's own for amd64 has -709.09 here.
func TestTheLogarithmOfTheLeastNumber(t *testing.T) {
	if got, want := portable.Log(5e-324), -1074*math.Ln2; math.Abs(got-want) > 1e-12 {
		t.Errorf("%v, not %v", got, want)
	}
}

func TestSpecialArgumentsAreAsInGo(t *testing.T) {
	special := []float64{0, math.Copysign(0, -1), 1, -1, 0.5, -0.5, 2, 3, math.Inf(1), math.Inf(-1), math.NaN(), 1e308,
		1e-300, math.Pi}
	for _, f := range functions {
		for _, x := range special {
			for _, y := range special {
				got, want := f.f(x, y), f.gos(x, y)
				if math.Float64bits(got) != math.Float64bits(want) && !(math.IsNaN(got) && math.IsNaN(want)) &&
					math.Abs(got-want) > 1e-15*math.Abs(want) {
					t.Errorf("%s(%v, %v) = %v, not %v", f.name, x, y, got, want)
				}
			}
		}
	}
}

func TestAMillionNormalNumbersHaveTheSameBitsEverywhere(t *testing.T) {
	r, sum := rand.New(rand.NewPCG(5, 6)), sha256.New()
	for range count {
		write(sum, portable.Normal(r))
	}
	const want = "26b6dc769be49700"
	if got := hex.EncodeToString(sum.Sum(nil)[:8]); got != want {
		t.Errorf("%s, not %s", got, want)
	}
}

// Only beyond 3.44 may Go's own differ, by the last bit of a logarithm. A draw that one takes and the other refuses
// would put the two streams apart: none in a million.
func TestNormalNumbersAreGosOwn(t *testing.T) {
	ours, gos := rand.New(rand.NewPCG(7, 8)), rand.New(rand.NewPCG(7, 8))
	tails := 0
	for i := range count {
		got, want := portable.Normal(ours), gos.NormFloat64()
		if math.Abs(want) > 3.44 {
			tails++
		}
		if got != want && (math.Abs(want) < 3.44 || math.Abs(got-want) > 1e-15*math.Abs(want)) {
			t.Fatalf("draw %d: %v, not %v", i, got, want)
		}
	}
	if tails < 300 { // 2 Q(3.4426) = 5.76e-4 of a million: the normal distribution's table
		t.Errorf("%d in the tails", tails)
	}
}
