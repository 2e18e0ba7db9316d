package sim

// stride is the step while nothing touches, s. Motors, tyres and friction are solved implicitly, so that it is long
// enough for them too; contacts take steps of stepLength.
const stride = 0.005

// clearance is what two bodies may come nearer in a control tick than by going on as they move now, m: more than tyres
// or a push can add to their way in that time, which at 20 m/s^2 is a millimetre.
const clearance = 0.003

// Stride moves the world by half a control tick in which nothing can meet anything, as Tick does where that is so.
func (w *World) Stride() {
	if w.elapsed >= w.opens {
		w.openTick()
	}
	w.advance(stride)
}

// Tick moves the world by a control tick. It takes strides while no body that is awake can meet another or a wall
// before its end, and steps otherwise. Only the state decides, so the same state is always followed by the same.
func (w *World) Tick() {
	w.openTick()
	dt := w.dt
	if w.strides && w.space.Apart(ControlTick, clearance) {
		dt = stride
	}
	for end := w.elapsed + nanoseconds(ControlTick) - nanoseconds(dt)/2; w.elapsed < end; {
		w.advance(dt)
	}
}
