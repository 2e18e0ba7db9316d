package sim

// addParts makes the robot's mechanisms from its file, in file order.
func (r *Robot) addParts() {}

// sense lets the robot's sensors and odometry read the world; called once per control tick.
func (r *Robot) sense() {}
