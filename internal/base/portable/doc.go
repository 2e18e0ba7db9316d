// Package portable has the mathematical functions that a rehearsal uses, in forms with the same bits on every
// processor.
//
// Go's own are assembly on some processors, and in Go on others, where a product may be fused with the sum that takes
// it. These are Go's, taken over with every such product kept apart by an explicit conversion. What IEEE 754 rounds
// correctly (math.Sqrt), or what only moves bits (math.Floor, math.Mod, math.Frexp, ...), is the same everywhere as it
// is.
package portable
