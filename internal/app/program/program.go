// Package program runs a program of the user's that commands a robot: it starts it, speaks with it line by line
// (scripting/talk), and sees to it that nothing of it is left. It is the one place below the window that looks at the
// wall clock: a program that does not answer must not keep a rehearsal for ever.
//
// A program runs with the user's rights. Nothing here starts one that the user has not named on the command line or
// allowed there.
package program

import (
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"time"

	"chalkfield/fields"
	"chalkfield/scripting"
	"chalkfield/scripting/talk"
	"chalkfield/sim/robot"
)

// Patience is how long a program may take for an answer when nothing else is asked for.
const Patience = time.Second

// awakening is how many times longer it may take to start: interpreters and virtual machines load much.
const awakening = 15

// Spec is a program and what it is to know before it says what it is.
type Spec struct {
	Words     string // the command, as in a shell: python3 robot.py
	Dir       string // in which it runs; "": where Chalkfield does
	Patience  time.Duration
	Field     *fields.Field
	Robot     *robot.Robot
	Simulator string // Chalkfield's name and version
}

// Owner has the programs that one run of Chalkfield started. Close it at the end.
type Owner struct {
	mutex  sync.Mutex
	idle   []*process // the one used last at the end
	all    map[*process]bool
	closed bool
	heard  *said // what they wrote to their standard error
}

// mostIdle is how many programs without a rehearsal are kept.
const mostIdle = 16

// NewOwner is an owner of none.
func NewOwner() *Owner { return &Owner{all: map[*process]bool{}, heard: &said{}} }

// kind is one program of an owner, of which several may run.
type kind struct {
	owner    *Owner
	argv     []string
	dir      string
	home     string // the folder of its own file
	patience time.Duration
	hello    []byte
	ready    string // its answer when it was started first
}

// Load starts the program, and makes a routine of what it says of itself. Later rehearsals take this process and, where
// several run at once, others of the same kind.
func (o *Owner) Load(s Spec) (*scripting.Program, error) {
	argv, err := split(s.Words)
	if err != nil {
		return nil, err
	}
	parts, err := scripting.Hears(s.Robot)
	if err != nil {
		return nil, err
	}
	hello, err := json.Marshal(helloOf(s, parts))
	if err != nil {
		return nil, err
	}
	if s.Patience <= 0 {
		s.Patience = Patience
	}
	k := &kind{owner: o, argv: argv, dir: s.Dir, home: Home(s.Words, s.Dir), patience: s.Patience,
		hello: append(hello, '\n')}
	o.retire(k)
	first, err := k.start()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", s.Words, err)
	}
	loaded, err := scripting.NewForeign(s.Words, first.ready, parts, k.meet)
	if err != nil {
		o.drop(first)
		return nil, err
	}
	k.ready = first.said
	o.keep(first)
	return loaded, nil
}

func helloOf(s Spec, parts []talk.Part) talk.Hello {
	const mm = 1e-3
	low, high := s.Field.Floor.Bounds()
	field := talk.Field{Name: s.Field.Name, Title: s.Field.Title, Tile: s.Field.Tile / mm, Sides: []string{},
		Floor: [4]float64{low.X / mm, low.Y / mm, high.X / mm, high.Y / mm}}
	for _, side := range s.Field.Sides {
		field.Sides = append(field.Sides, side.Name)
	}
	var outline [][2]float64
	for _, v := range s.Robot.Chassis.Shape() {
		outline = append(outline, [2]float64{v.X / mm, v.Y / mm})
	}
	return talk.Hello{
		Message: "hello", Protocol: talk.Protocol, Simulator: s.Simulator, Tick: 0.01, Field: field,
		Robot: talk.Robot{
			Name: s.Robot.Name, Title: s.Robot.Title, Length: s.Robot.Chassis.Length / mm, Width: s.Robot.Chassis.Width / mm,
			Outline: outline, Parts: parts, Sensors: scripting.Tells(s.Robot),
		},
	}
}

// meet gives a rehearsal a process of its own: one that waits, or a new one.
func (k *kind) meet() (scripting.Guest, error) {
	if p := k.owner.take(k); p != nil {
		return &guest{process: p}, nil
	}
	p, err := k.start()
	if err != nil {
		return nil, err
	}
	if p.said != k.ready {
		k.owner.drop(p)
		return nil, fmt.Errorf("the program says something else of itself than when it was started first: its title, side, " +
			"start, phases and params must be the same each time")
	}
	return &guest{process: p}, nil
}

// start starts a process and hears what it says of itself.
func (k *kind) start() (*process, error) {
	p, err := k.launch()
	if err != nil {
		return nil, err
	}
	if !k.owner.add(p) {
		p.kill()
		return nil, errClosed
	}
	line, err := p.exchange(k.hello, awakening*k.patience)
	if err == nil {
		err = decode(line, &p.ready)
	}
	if err == nil && p.ready.Answer != "ready" {
		err = notThis(line, "ready")
	}
	if err != nil {
		err = p.trouble(err)
		k.owner.drop(p)
		return nil, err
	}
	p.said = string(line)
	return p, nil
}

// add takes a new process in, unless the owner is closed.
func (o *Owner) add(p *process) bool {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if o.closed {
		return false
	}
	o.all[p] = true
	return true
}

// take gives a waiting process of a kind, nil if there is none.
func (o *Owner) take(k *kind) *process {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	for i := len(o.idle) - 1; i >= 0; i-- {
		if p := o.idle[i]; p.kind == k {
			o.idle = append(o.idle[:i], o.idle[i+1:]...)
			return p
		}
	}
	return nil
}

// keep has a process wait for the next rehearsal.
func (o *Owner) keep(p *process) {
	o.mutex.Lock()
	o.idle = append(o.idle, p)
	var old *process
	if len(o.idle) > mostIdle {
		old = o.idle[0]
		o.idle = o.idle[1:]
	}
	o.mutex.Unlock()
	if old != nil {
		o.drop(old)
	}
}

// retire ends the waiting processes of an earlier load of the same program: its file may have changed.
func (o *Owner) retire(k *kind) {
	o.mutex.Lock()
	var old []*process
	still := o.idle[:0]
	for _, p := range o.idle {
		if p.kind.dir == k.dir && slices.Equal(p.kind.argv, k.argv) {
			old = append(old, p)
		} else {
			still = append(still, p)
		}
	}
	o.idle = still
	o.mutex.Unlock()
	for _, p := range old {
		o.drop(p)
	}
}

// drop ends a process.
func (o *Owner) drop(p *process) {
	p.kill()
	o.mutex.Lock()
	delete(o.all, p)
	o.mutex.Unlock()
}

// Close ends every program and returns when they are gone. What then still asks one gets an error.
func (o *Owner) Close() {
	o.mutex.Lock()
	o.closed, o.idle = true, nil
	all := o.all
	o.all = map[*process]bool{}
	o.mutex.Unlock()
	for p := range all {
		p.hangUp() // all at once: one that ends by itself may do so
	}
	for p := range all {
		p.kill()
	}
}

func (o *Owner) isClosed() bool {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	return o.closed
}
