package record

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// codec writes text from values, or reads values from text: a function that describes a thing serves both. After the
// first fault a reader takes nothing more.
type codec struct {
	reads bool
	text  []byte // what is written, or what is left to read
	fault error

	robots   slab[RobotSample] // what is read lies in these
	bodies   slab[BodySample]
	parts    slab[PartSample]
	lines    slab[int]
	readings slab[float64]
	points   slab[[2]float64]
	said     slab[Said]
}

// readSample reads a line; writeSample gives one, good until the next.
func (c *codec) readSample(line []byte) (Sample, error) {
	c.reads, c.text, c.fault = true, line, nil
	var s Sample
	c.sample(&s)
	if c.fault == nil && len(c.text) > 0 {
		c.fail("the end of the line")
	}
	return s, c.fault
}

// writeSample changes nothing of the sample: others may read the record meanwhile.
func (c *codec) writeSample(s *Sample) ([]byte, error) {
	c.text, c.fault = c.text[:0], nil
	c.sample(s)
	return c.text, c.fault
}

func (c *codec) fail(due string) {
	if c.fault == nil {
		found := strings.TrimSpace(string(c.text[:min(len(c.text), 12)]))
		c.fault = fmt.Errorf("it should go on with %s where it has %q", due, found)
	}
}

// mark is text that must stand there.
func (c *codec) mark(text string) {
	if !c.given(text, true) {
		c.fail(strings.TrimSpace(text))
	}
}

// given is text that may stand there: whether it does is for the writer to say, and a reader finds out.
func (c *codec) given(text string, write bool) bool {
	switch {
	case !c.reads:
		if write {
			c.text = append(c.text, text...)
		}
		return write
	case c.fault != nil || len(c.text) < len(text) || string(c.text[:len(text)]) != text:
		return false
	}
	c.text = c.text[len(text):]
	return true
}

func (c *codec) number(x *float64) {
	if !c.reads {
		if !finite(*x) {
			c.fault = errors.New("a value that is no finite number")
		}
		c.text = strconv.AppendFloat(c.text, *x, 'f', -1, 64)
		return
	}
	n := c.digits()
	value, err := strconv.ParseFloat(string(c.text[:n]), 64)
	if err != nil {
		c.fail("a number")
		return
	}
	*x, c.text = value, c.text[n:]
}

func (c *codec) integer(x *int) {
	if !c.reads {
		c.text = strconv.AppendInt(c.text, int64(*x), 10)
		return
	}
	n := c.digits()
	value, err := strconv.Atoi(string(c.text[:n]))
	if err != nil {
		c.fail("a whole number")
		return
	}
	*x, c.text = value, c.text[n:]
}

// digits is how long the number is that the text begins with.
func (c *codec) digits() int {
	for i, b := range c.text {
		if (b < '0' || b > '9') && b != '.' && b != '-' {
			return i
		}
	}
	return len(c.text)
}

// numbers are as many as there is room for, after a mark that ends with their bracket.
func (c *codec) numbers(mark string, values []float64) {
	c.mark(mark)
	for i := range values {
		if i > 0 {
			c.mark(",")
		}
		c.number(&values[i])
	}
	c.mark("]")
}

// list is any number of things after their bracket.
func list[T any](c *codec, things *[]T, room *slab[T], each func(*T)) {
	if c.given("]", len(*things) == 0) {
		return
	}
	if c.reads {
		*things = room.read(c, each)
	} else {
		for i := range *things {
			if i > 0 {
				c.mark(",")
			}
			each(&(*things)[i])
		}
	}
	c.mark("]")
}

// slab is a large slice from which small ones are cut: a record has a million of them.
type slab[T any] struct{ free []T }

const slabSize = 4096

func (s *slab[T]) read(c *codec, each func(*T)) []T {
	n := 0
	for more := true; more && c.fault == nil; more = c.given(",", false) {
		if n == len(s.free) {
			larger := make([]T, max(slabSize, 2*n))
			copy(larger, s.free)
			s.free = larger
		}
		each(&s.free[n])
		n++
	}
	cut := s.free[:n:n]
	s.free = s.free[n:]
	return cut
}
