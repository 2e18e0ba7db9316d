package robot

// What stands behind a sensor's name where a record has more numbers of it than its reading.
const (
	OfPiece   = " piece"   // how a piece looks: 1 and the index of the field's first piece of its kind and side; 0: none
	OfRange   = " range"   // of a mark, whose name stands before: m, 0: not seen
	OfBearing = " bearing" // rad
)

// Columns are the names of the numbers that a record has of the robot's sensors behind their readings, on a field with
// such marks.
func (r *Robot) Columns(marks []string) (list []string) {
	for _, s := range r.Sensors {
		if s.Optical != nil && s.Optical.Looks {
			list = append(list, s.Name+OfPiece)
		}
		if s.Mark == nil {
			continue
		}
		for _, mark := range marks {
			list = append(list, s.Name+" "+mark+OfRange, s.Name+" "+mark+OfBearing)
		}
	}
	return list
}
