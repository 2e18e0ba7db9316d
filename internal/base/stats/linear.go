package stats

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// Linear gives the x that makes |design x - y| smallest, by QR decomposition (Golub & Van Loan, Matrix Computations,
// ch. 5.3, from memory). A row of the design is a measurement, a column an unknown. Fewer rows than columns, columns
// that depend on each other and numbers that are not finite (or beyond 1e75) are errors.
func Linear(design *mat.Dense, y []float64) ([]float64, error) {
	rows, columns := design.Dims()
	if rows < columns || rows != len(y) {
		return nil, fmt.Errorf("%d measurements in %d rows for %d unknowns", len(y), rows, columns)
	}
	if outOfRange(y) >= 0 || outOfRange(mat.DenseCopyOf(design).RawMatrix().Data) >= 0 {
		return nil, errors.New("a measurement is not a finite number")
	}
	var qr mat.QR
	var x mat.VecDense
	qr.Factorize(design)
	if err := qr.SolveVecTo(&x, false, mat.NewVecDense(rows, y)); err != nil {
		return nil, fmt.Errorf("the data cannot tell the %d unknowns apart: %w", columns, err)
	}
	return x.RawVector().Data, nil
}
