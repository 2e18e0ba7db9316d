// Package sim is the world: bodies on the floor, walls, robots with their drive bases, batteries and mechanisms. It
// knows no scripts, draws no pictures and reads no clock: the same Config gives the same world, bit for bit.
//
// SI units and radians. Frame: x right, y up, heading counter-clockwise from +x; a robot's own frame is x forward, y
// left, at the centre of its outline.
//
// A Tick is 10 ms: two strides of 5 ms where nothing can touch, five steps of 2 ms elsewhere (step_length.go). Chipmunk
// (internal/base/chipmunk) moves the bodies, finds the contacts and solves the impulses; floor friction and tyres take
// part in its solver as constraints, so that a resting thing resists a push up to its limit without creeping. Order
// within a step: mechanisms, batteries and motors, then the space.
//
// What is modelled, file by file: line and battery in sim/power; tyre.go, loads.go and drive.go the drive base;
// floor.go and coupling.go friction of pieces and goals; walls.go; contact.go what robots meet; impact.go and space.go
// how the engine is set. What is left out:
//   - Robots do not tip. A wheel that would lift carries nothing, and the others the weight.
//   - Contacts act at the height of the centre of mass: they shift no load among the wheels.
//   - A pair's friction and restitution are the products of the two values (Chipmunk's rule).
//   - A goal collides as the convex hull of its outline; a fixed goal hangs on its wall and is in nobody's way.
//   - Pieces in a goal or a robot are no bodies any more: they move with their holder and weigh on it.
//   - A polygon shares its floor friction between sliding and spinning as the disc with the same torque arm does.
//   - Several bodies that are struck within one step are solved together with Newton's restitution; with friction that
//     can leave an energy error of a percent or two, see property_test.go.
package sim
