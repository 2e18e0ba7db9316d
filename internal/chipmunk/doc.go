// Package cp is the physics engine: a copy of github.com/jakecoffman/cp/v2 v2.4.0 (MIT licence, in the file beside), which
// is Chipmunk by Scott Lembcke in Go. Changed, so that it gives the same bits on every processor, and nothing else:
//
//   - products that are added to something are rounded on their own, float64(x*y) + z, which the compiler may not fuse;
//   - sin, cos, acos, atan2 and pow come from internal/portable.
//
// Left out is what nothing here uses: drawing, debug checks, outlines from bitmaps, the spatial hash, and all joints but the
// pivot and the gear. A test shows that scenes run on this copy and on the original have the same bits on amd64.
package cp
