package robot

// Voltmeter is the kind of a sensor of: the battery's voltage, V.
const Voltmeter SensorKind = "voltmeter"

// VoltmeterSensor reads the battery.
type VoltmeterSensor struct{ Timing }
