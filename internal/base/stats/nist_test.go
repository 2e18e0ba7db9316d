package stats

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"chalkfield/internal/base/property"
)

// models are those printed in the files; b and x count from 0 here.
var models = map[string]func(b, x []float64) float64{
	"Bennett5": func(b, x []float64) float64 { return b[0] * math.Pow(b[1]+x[0], -1/b[2]) },
	"BoxBOD":   saturating,
	"Chwirut1": func(b, x []float64) float64 { return math.Exp(-b[0]*x[0]) / (b[1] + b[2]*x[0]) },
	"Chwirut2": func(b, x []float64) float64 { return math.Exp(-b[0]*x[0]) / (b[1] + b[2]*x[0]) },
	"DanWood":  func(b, x []float64) float64 { return b[0] * math.Pow(x[0], b[1]) },
	"ENSO": func(b, x []float64) float64 {
		wave := func(period float64) (float64, float64) {
			sin, cos := math.Sincos(2 * math.Pi * x[0] / period)
			return cos, sin
		}
		c1, s1 := wave(12)
		c2, s2 := wave(b[3])
		c3, s3 := wave(b[6])
		return b[0] + b[1]*c1 + b[2]*s1 + b[4]*c2 + b[5]*s2 + b[7]*c3 + b[8]*s3
	},
	"Eckerle4": func(b, x []float64) float64 { return b[0] / b[1] * math.Exp(-0.5*square((x[0]-b[2])/b[1])) },
	"Gauss1":   twoPeaks,
	"Gauss2":   twoPeaks,
	"Gauss3":   twoPeaks,
	"Hahn1":    cubicOverCubic,
	"Kirby2": func(b, x []float64) float64 {
		return (b[0] + x[0]*(b[1]+x[0]*b[2])) / (1 + x[0]*(b[3]+x[0]*b[4]))
	},
	"Lanczos1": threeDecays,
	"Lanczos2": threeDecays,
	"Lanczos3": threeDecays,
	"MGH09": func(b, x []float64) float64 {
		return b[0] * (x[0]*x[0] + x[0]*b[1]) / (x[0]*x[0] + x[0]*b[2] + b[3])
	},
	"MGH10":   func(b, x []float64) float64 { return b[0] * math.Exp(b[1]/(x[0]+b[2])) },
	"MGH17":   func(b, x []float64) float64 { return b[0] + b[1]*math.Exp(-x[0]*b[3]) + b[2]*math.Exp(-x[0]*b[4]) },
	"Misra1a": saturating,
	"Misra1b": func(b, x []float64) float64 { return b[0] * (1 - math.Pow(1+b[1]*x[0]/2, -2)) },
	"Misra1c": func(b, x []float64) float64 { return b[0] * (1 - math.Pow(1+2*b[1]*x[0], -.5)) },
	"Misra1d": func(b, x []float64) float64 { return b[0] * b[1] * x[0] / (1 + b[1]*x[0]) },
	"Nelson":  func(b, x []float64) float64 { return b[0] - b[1]*x[0]*math.Exp(-b[2]*x[1]) },
	"Rat42":   func(b, x []float64) float64 { return b[0] / (1 + math.Exp(b[1]-b[2]*x[0])) },
	"Rat43":   func(b, x []float64) float64 { return b[0] / math.Pow(1+math.Exp(b[1]-b[2]*x[0]), 1/b[3]) },
	"Roszman1": func(b, x []float64) float64 {
		return b[0] - b[1]*x[0] - math.Atan(b[2]/(x[0]-b[3]))/math.Pi
	},
	"Thurber": cubicOverCubic,
}

func square(x float64) float64 { return x * x }

func saturating(b, x []float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x[0])) }

func twoPeaks(b, x []float64) float64 {
	return b[0]*math.Exp(-b[1]*x[0]) + b[2]*math.Exp(-square((x[0]-b[3])/b[4])) +
		b[5]*math.Exp(-square((x[0]-b[6])/b[7]))
}

func cubicOverCubic(b, x []float64) float64 {
	return (b[0] + x[0]*(b[1]+x[0]*(b[2]+x[0]*b[3]))) / (1 + x[0]*(b[4]+x[0]*(b[5]+x[0]*b[6])))
}

func threeDecays(b, x []float64) float64 {
	return b[0]*math.Exp(-b[1]*x[0]) + b[2]*math.Exp(-b[3]*x[0]) + b[4]*math.Exp(-b[5]*x[0])
}

// dataset is one file.
type dataset struct {
	name, difficulty string
	starts           [2][]float64
	values, errors   []float64 // certified
	sd               float64   // certified
	printed          []string  // y as the file has it
	y                []float64
	x                [][]float64
}

var numbers = regexp.MustCompile(`[-+]?[0-9]*\.?[0-9]+(?:[Ee][-+]?[0-9]+)?`)

func numbersOf(text string) (list []float64) {
	for _, one := range numbers.FindAllString(text, -1) {
		value, _ := strconv.ParseFloat(one, 64)
		list = append(list, value)
	}
	return list
}

func readDataset(t testing.TB, path string) (d dataset) {
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	d.name = strings.TrimSuffix(filepath.Base(path), ".dat")
	lines := bufio.NewScanner(file)
	for at := 1; lines.Scan(); at++ {
		text := lines.Text()
		_, after, _ := strings.Cut(text, "=")
		switch {
		case at > 60:
			row := numbersOf(text)
			if d.name == "Nelson" {
				row[0] = math.Log(row[0])
			}
			d.y, d.x = append(d.y, row[0]), append(d.x, row[1:])
			d.printed = append(d.printed, strings.Fields(text)[0])
		case strings.Contains(text, "Level of Difficulty"):
			d.difficulty = strings.Fields(text)[0]
		case strings.HasPrefix(strings.TrimSpace(text), "b") && at > 40 && at < 50:
			row := numbersOf(after)
			d.starts[0], d.starts[1] = append(d.starts[0], row[0]), append(d.starts[1], row[1])
			d.values, d.errors = append(d.values, row[2]), append(d.errors, row[3])
		case strings.Contains(text, "Residual Standard Deviation"):
			d.sd = numbersOf(text)[0]
		}
	}
	return d
}

func (d dataset) problem(start int) Problem {
	p := Problem{Series: []int{len(d.y)}}
	for j, value := range d.starts[start] {
		p.Parameters = append(p.Parameters, Parameter{Name: fmt.Sprintf("b%d", j+1), Start: value})
	}
	p.Residuals = func(b, r []float64) error {
		if d.name == "Lanczos1" {
			d.preciseDecays(b, r)
			return nil
		}
		for i, x := range d.x {
			r[i] = d.y[i] - models[d.name](b, x)
		}
		return nil
	}
	return p
}

// digits is how many of the least exact of the numbers are right: -log10 of the relative error, at most 11, as many as
// are certified.
func digits(got, want []float64) float64 {
	least := 11.0
	for i := range want {
		least = math.Min(least, -math.Log10(math.Abs(got[i]-want[i])/math.Abs(want[i])))
	}
	return math.Max(0, least)
}

// NIST/ITL, Statistical Reference Datasets, nonlinear regression (https://www.itl.nist.gov/div898/strd, public domain):
// the certified values are good to 11 digits.
func TestFitReachesNISTsCertifiedValues(t *testing.T) {
	paths, err := filepath.Glob("testdata/nist/*.dat")
	if err != nil || len(paths) != len(models) {
		t.Fatalf("%d files for %d models: %v", len(paths), len(models), err)
	}
	t.Log("dataset   difficulty start  parameters errors  sd (digits)  rounds calls  end")
	for _, path := range paths {
		d := readDataset(t, path)
		for start := property.Cases(1, 0); start < len(d.starts); start++ { // few cases are the second alone, due for all
			problem := d.problem(start)
			problem.Tolerance = 1e-8
			got, err := Fit(context.Background(), problem)
			if err != nil {
				t.Errorf("%s: %v", d.name, err)
				continue
			}
			values, errors := digits(got.Values, d.values), digits(got.StandardErrors, d.errors)
			t.Logf("%-9s %-10s %d      %4.1f      %4.1f    %4.1f         %4d   %4d   %s", d.name, d.difficulty, start+1, values,
				errors, digits([]float64{got.SD}, []float64{d.sd}), got.Rounds, got.Evaluations, got.End)
			if (start == 1 || d.difficulty == "Lower") && (values < 6 || errors < 4 || got.End != Converged) {
				t.Errorf("%s from start %d: 6 and 4 digits are due; %v at %v", d.name, start+1, got.End, got.Values)
			}
		}
	}
}
