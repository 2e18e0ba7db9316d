package stats

import (
	"context"
	"errors"
	"math"
)

// Allan is one point of an Allan deviation.
type Allan struct {
	Span      float64 // s, averaged over
	Deviation float64 // of the rate, in the angle's unit a second
}

// AllanDeviation is the overlapping Allan deviation of a gyro's rate, from the angle it gives standing still, one every
// interval of seconds:
//
//	sigma^2(T) = sum over k of (a[k+2m] - 2 a[k+m] + a[k])^2 / (2 T^2 (n - 2m)),  T = m interval
//
// IEEE Std 952 Annex C; NIST SP 1065 ch. 5.2.4 (from memory). m is 1, 2, 4, ... up to a tenth of the series, beyond
// which too few spans are left to compare. Spans over which the angle often rests on one step of its resolution are
// left out: they would show that and nothing else. A short or resting series gives no point.
func AllanDeviation(angle []float64, interval float64) (points []Allan) {
	for m := 1; 10*m < len(angle); m *= 2 {
		rests := 0
		for k, a := range angle[m:] {
			if a == angle[k] {
				rests++
			}
		}
		if 10*rests < len(angle)-m {
			points = append(points, allanAt(angle, interval, m))
		}
	}
	return points
}

func allanAt(angle []float64, interval float64, m int) Allan {
	sum, span := 0.0, float64(m)*interval
	for k := range len(angle) - 2*m {
		second := angle[k+2*m] - float64(2*angle[k+m]) + angle[k]
		sum += float64(second * second)
	}
	return Allan{span, math.Sqrt(sum/(2*float64(len(angle)-2*m))) / span}
}

// GyroNoise is what an Allan deviation says of a gyro. Of what its points do not show, it has 0.
type GyroNoise struct {
	Grain float64 // quantisation noise, in the angle's unit: the resolution over sqrt(12)
	Walk  float64 // angle random walk: the angle's unit over sqrt(s)
	Drift float64 // rate random walk, of the bias: the angle's unit over s sqrt(s)
}

// ReadAllan reads the coefficients from an Allan deviation, by least squares on
//
//	sigma^2(T) = 3 Grain^2 / T^2 + Walk^2 / T + Drift^2 T / 3
//
// with none negative (IEEE Std 952 Annex C, from memory), each point weighed by its own size and by how many spans its
// average has. Fewer than four points, or a deviation of 0, are an error.
func ReadAllan(points []Allan) (GyroNoise, error) {
	forms := []func(span float64) float64{
		func(t float64) float64 { return 3 / (t * t) },
		func(t float64) float64 { return 1 / t },
		func(t float64) float64 { return t / 3 },
	}
	p := Problem{Series: []int{len(points)}}
	for _, form := range forms {
		most := math.Inf(1) // what explains a point alone
		for _, a := range points {
			most = math.Min(most, a.Deviation*a.Deviation/form(a.Span))
		}
		p.Parameters = append(p.Parameters, Parameter{Start: most, High: math.Inf(1)})
	}
	if len(points) <= len(forms) || p.Parameters[0].Start == 0 {
		return GyroNoise{}, errors.New(
			"too short a time standing still, or an angle that rests or has no noise: none can be read from it")
	}
	p.Residuals = func(squares, residuals []float64) error {
		for i, a := range points {
			sum := 0.0
			for k, form := range forms {
				sum += float64(squares[k] * form(a.Span))
			}
			residuals[i] = (sum/(a.Deviation*a.Deviation) - 1) * math.Sqrt(points[0].Span/a.Span)
		}
		return nil
	}
	got, err := Fit(context.Background(), p)
	if err != nil {
		return GyroNoise{}, err
	}
	return GyroNoise{math.Sqrt(got.Values[0]), math.Sqrt(got.Values[1]), math.Sqrt(got.Values[2])}, nil
}
