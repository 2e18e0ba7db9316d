package sandbox

// Limits of a box. All must be positive.
type Limits struct {
	Load   int64 // steps before the first call of Refill
	Tick   int64 // steps between two calls of Refill
	Total  int64 // steps in the life of the box
	Memory int64 // bytes that Lua may hold, as the heap estimate counts them; it may pass them by half between two
	String int   // bytes of one string
	Frames int   // nested calls of one thread
	Values int   // registers of one thread: arguments, locals and temporaries of all nested calls
}

// DefaultLimits are far above what a routine needs and low enough that the worst file ends within seconds.
func DefaultLimits() Limits {
	return Limits{
		Load:   2_000_000,
		Tick:   200_000, // about 4 ms of work: a control tick is 10 ms
		Total:  250_000_000,
		Memory: 32 << 20,
		String: 1 << 20,
		Frames: 200,
		Values: 8192,
	}
}

const (
	threadStart  = 256 // registers a thread begins with
	threadGrowth = 512 // registers added when they do not suffice
)
