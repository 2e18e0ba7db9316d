package robot

// Column is a number that a record has of a sensor beside its reading.
type Column struct {
	Sensor int    // index of the sensor
	Name   string // in the record
	What   Told
}

// Told is what a column's number is.
type Told int

const (
	Looked Told = iota // how a piece looks: 1 and the index of the field's first piece of its kind and side; 0: none
)

// Columns are those of the robot's sensors. A record has them behind the readings.
func (r *Robot) Columns() (list []Column) {
	for i, s := range r.Sensors {
		if s.Optical != nil && s.Optical.Looks {
			list = append(list, Column{i, s.Name + " piece", Looked})
		}
	}
	return list
}
