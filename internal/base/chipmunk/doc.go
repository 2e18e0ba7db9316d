// Package cp is the physics engine: a copy of github.com/jakecoffman/cp/v2 v2.4.0 (MIT licence, in the file beside),
// which is Chipmunk by Scott Lembcke in Go. Changed, so that it gives the same bits on every processor:
//
//   - products that are added to something are rounded on their own, float64(x*y) + z, which the compiler may not fuse;
//   - sin, cos, acos, atan2 and pow come from internal/base/portable.
//
// And so that it is quicker, without a change of any bit:
//
//   - max and min are the language's own, which differ from math.Max and math.Min only for an infinity beside a NaN;
//   - powers of the settings are taken once for a step's length (powers.go), sin and cos of an angle together;
//   - contact buffers hold 32 contacts, not 1024, and pools of nodes, pairs, bins and arbiters grow by 32 or by one, in
//     slices: a space takes a few kB, not 1 MB;
//   - a pair's collision and a ray's hit are found in scratch places of the space and the shape, not on the heap;
//   - a handler is looked up only where there is one;
//   - a hash set lists its entries once a change, and components are looked for only where a body has idled long enough
//     to sleep.
//
// Added are Space.Apart, FirstHit and Within, questions that change nothing, and Looked, what they cost. Left out is
// what nothing here uses, such as drawing, debug checks, outlines from bitmaps, the spatial hash, and all joints but
// the pivot and the gear. A test shows that scenes run on this copy and on the original have the same bits on amd64.
package cp
