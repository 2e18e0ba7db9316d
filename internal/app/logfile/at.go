package logfile

// At gives a column's values at rising times, on straight lines between its rows. A value is NaN before the first row,
// in a gap and behind the last; nil is no column.
func (l *Log) At(c *Column, times []float64) []float64 { return l.at(c, times, averages) }

// HeldAt gives a column's values at rising times as At does, but a row's value holds until the next row.
func (l *Log) HeldAt(c *Column, times []float64) []float64 { return l.at(c, times, holds) }

func (l *Log) at(c *Column, times []float64, how way) []float64 {
	if c == nil || c.Filled == 0 {
		return nil
	}
	cursor, out := l.cursor(c), make([]float64, len(times))
	for i, t := range times {
		out[i] = cursor.value(t, how)
	}
	return out
}

// DriveAt gives what a side's motors got at rising times: the volts from the last row on, or those that its share of
// the battery stands for. The unit is V, or "share" where the battery's volts are not known; nil without such a column.
func (l *Log) DriveAt(side int, times []float64) (values []float64, unit string) {
	if c := l.Column(Volts[side]); c != nil {
		return l.HeldAt(c, times), "V"
	}
	shares := l.HeldAt(l.Column(Duty[side]), times)
	if shares == nil {
		return nil, ""
	}
	return l.ofBattery(shares, l.HeldAt(l.Column(BatteryVolts), times))
}
