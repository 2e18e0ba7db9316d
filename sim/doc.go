// Package sim is the world: bodies on the floor, walls, robots with their drive bases, batteries and mechanisms. It
// knows no scripts, draws no pictures and reads no clock: the same Config gives the same world, bit for bit.
//
// SI units and radians. Frame: x right, y up, heading counter-clockwise from +x; a robot's own frame is x forward, y
// left, at the centre of its outline.
//
// One Step is 2 ms. Chipmunk (github.com/jakecoffman/cp/v2) moves the bodies, finds the contacts and solves the
// impulses; floor friction and tyres take part in its solver as constraints, so that a resting thing resists a push up
// to its limit without creeping. Order within Step: mechanisms, batteries and motors, then the space.
package sim
